import { createHash } from 'node:crypto'
import type { Quantity } from '@sightglass/chemistry'
import type { ColumnTarget, Layout, Problem } from '@sightglass/contract'
import { invalid } from '../../platform/problems.ts'
import { headerOf } from './read/rows.ts'

/** What makes two files the same kind: the delimiter and the names of the columns, however they are spaced. */
export const fingerprintOf = ({ delimiter, columnNames }: Pick<Layout, 'delimiter' | 'columnNames'>): string =>
  createHash('sha256')
    .update(JSON.stringify([delimiter, headerOf(columnNames) || columnNames.length]))
    .digest('hex')

const FEED_UNITS: ColumnTarget['unit'][] = ['asStored', 'fraction', 'onOff', 'openIsOn', 'closedIsOn']
/** In which units a controller may write a quantity. */
const UNITS: Record<Quantity, ColumnTarget['unit'][]> = {
  ph: ['asStored'],
  orpMv: ['asStored', 'V'],
  freeChlorineMgL: ['asStored'],
  tempC: ['asStored', 'F'],
  flowLMin: ['asStored', 'gpm', 'm3h'],
  flowOn: ['onOff', 'openIsOn', 'closedIsOn', 'asStored'],
  sanitizerFeedPct: FEED_UNITS,
  backupFeedPct: FEED_UNITS,
  phFeedPct: FEED_UNITS,
  phSetPoint: ['asStored'],
  orpSetPointMv: ['asStored', 'V'],
}

export interface Heard {
  id: string
  name: string
  quantities: readonly Quantity[]
}

type Field = NonNullable<Problem['fields']>[number]

/** @param bodies those of the facility that are in use, with what their channels in use carry
 *  @throws ProblemError `invalid` that names every place of the layout that cannot be */
export function refuseUnfitLayout(layout: Layout, bodies: readonly Heard[]) {
  const fields = [...placesOf(layout), ...targetsOf(layout, bodies)].map(({ path, message }) => ({
    path: `body.layout.${path}`,
    message,
  }))
  if (fields.length > 0) throw invalid(fields.map(({ path, message }) => `${path}: ${message}`).join('; '), fields)
}

function placesOf({ columnNames, headerLine, time, keyColumn, columns }: Layout): Field[] {
  const width = columnNames.length || Number.POSITIVE_INFINITY
  const beyond = (path: string, column: number | null): Field[] =>
    column !== null && column >= width ? [{ path, message: `There are only ${width} columns.` }] : []
  return [
    ...(headerLine !== null && columnNames.length === 0
      ? [{ path: 'columnNames', message: 'The header line has column names.' }]
      : []),
    ...(columns.length === 0
      ? [{ path: 'columns', message: 'Match at least one column to a body of water and what it holds.' }]
      : []),
    ...beyond('time.dateColumn', time.dateColumn),
    ...beyond('time.timeColumn', time.timeColumn),
    ...(time.timeColumn === time.dateColumn
      ? [{ path: 'time.timeColumn', message: 'is the date column too: leave it out.' }]
      : []),
    ...(keyColumn !== null && (keyColumn === time.dateColumn || keyColumn === time.timeColumn)
      ? [{ path: 'keyColumn', message: 'holds the time.' }]
      : []),
    ...beyond('keyColumn', keyColumn),
    ...columns.flatMap(({ column }, index) => beyond(`columns.${index}.column`, column)),
  ]
}

function targetsOf({ columns, keyColumn, time }: Layout, bodies: readonly Heard[]): Field[] {
  const known = new Map(bodies.map((body) => [body.id, body]))
  const seen = new Set<string>()
  return columns.flatMap(({ column, key, bodyId, quantity, unit }, index): Field[] => {
    const at = `columns.${index}`
    const body = known.get(bodyId)
    const place = JSON.stringify([key?.trim().toLowerCase() ?? null, bodyId, quantity])
    const twice = seen.has(place)
    seen.add(place)
    if (!body) return [{ path: `${at}.bodyId`, message: 'The facility has no such body of water in use.' }]
    return [
      ...(body.quantities.includes(quantity)
        ? []
        : [
            {
              path: `${at}.quantity`,
              message: `${body.name} has no channel in use for this: add the channel, or leave the column out.`,
            },
          ]),
      ...(UNITS[quantity].includes(unit)
        ? []
        : [{ path: `${at}.unit`, message: 'This quantity is not written in this unit.' }]),
      ...((key === null) !== (keyColumn === null)
        ? [
            {
              path: `${at}.key`,
              message: keyColumn === null ? 'There is no key column.' : 'With a key column, say for which word.',
            },
          ]
        : []),
      ...(column === time.dateColumn || column === time.timeColumn || column === keyColumn
        ? [{ path: `${at}.column`, message: 'This column holds the time or the key.' }]
        : []),
      ...(twice ? [{ path: at, message: 'Another column goes to the same place already.' }] : []),
    ]
  })
}
