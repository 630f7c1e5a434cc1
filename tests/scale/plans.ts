// What the database did for each query: how often each table was opened and how many rows it gave.
import type { Queryable } from '../../apps/api/src/platform/database.ts'

interface Node {
  'Node Type': string
  'Relation Name'?: string
  'Actual Rows': number
  'Actual Loops': number
  'Rows Removed by Filter'?: number
  Plans?: Node[]
}

export interface Access {
  table: string
  how: string
  /** How often it was opened: 0 when the plan left it out while running. */
  loops: number
  /** Rows that were read, kept or not. */
  rows: number
}

/** A client that explains every query that it runs. */
export function explaining(client: Queryable) {
  const queries: Access[][] = []
  const query = async (given: string | { text: string; values: unknown[] }, values: unknown[] = []) => {
    const [text, parameters] = typeof given === 'string' ? [given, values] : [given.text, given.values]
    const { rows } = await client.query(`EXPLAIN (ANALYZE, FORMAT JSON) ${text}`, parameters)
    queries.push(accessesOf(rows[0]['QUERY PLAN'][0].Plan))
    return typeof given === 'string' ? client.query(given, values) : client.query(given)
  }
  return { client: { query } as unknown as Queryable, queries }
}

function accessesOf(node: Node): Access[] {
  const table = node['Relation Name']
  const loops = node['Actual Loops']
  const rows = (node['Actual Rows'] + (node['Rows Removed by Filter'] ?? 0)) * loops
  const here = table ? [{ table, how: node['Node Type'], loops, rows }] : []
  return [...here, ...(node.Plans ?? []).flatMap(accessesOf)]
}

export const rowsOf = (accesses: readonly Access[], table: RegExp) =>
  Math.round(accesses.filter((access) => table.test(access.table)).reduce((sum, { rows }) => sum + rows, 0))

/** The tables that were really opened. */
export const openedOf = (accesses: readonly Access[], table: RegExp) =>
  [
    ...new Set(accesses.filter((access) => table.test(access.table) && access.loops > 0).map((access) => access.table)),
  ].sort()
