import { uuidv7 } from 'uuidv7'
import type { Deps } from '../../platform/context.ts'
import { asQueryable } from '../../platform/database.ts'
import { conflict } from '../../platform/problems.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { KINDS, missing, type Rules } from './kinds.ts'
import { inPlantTransaction, type Row, type Tx, tableOf } from './queries.ts'
import { type Shown, show } from './show.ts'
import type { Kind, Settable, Things } from './things.ts'

type Given<K extends Kind> = { id?: string | undefined } & { [Key in keyof Settable<K>]?: Settable<K>[Key] | undefined }

/** Creates a thing. An id that the client made may be sent again: the same content gets the same answer. */
export function create<K extends Kind>(deps: Deps, kind: K, { id = uuidv7(), ...given }: Given<K>): Promise<Things[K]> {
  const rules = KINDS[kind] as unknown as Rules<K>
  const thing = { ...rules.defaults, ...defined(given) } as unknown as Settable<K>
  return write(deps, async (tx) => {
    const table = tableOf(tx, kind)
    const there = await table.findUnique({ where: { id } })
    if (there) {
      if (!holds(there, thing)) throw conflict(`Another ${rules.word} with the id ${id} is there already.`)
      return { row: there, touched: [] }
    }
    await rules.check(tx, { id, ...thing })
    const at = deps.now()
    const row = await table.create({ data: { id, ...thing, createdAt: at, updatedAt: at } })
    return { row, touched: await rules.bodies(tx, row as never) }
  })
}

/** Changes what was given and leaves all else as it is. */
export function edit<K extends Kind>(deps: Deps, kind: K, id: string, given: Given<K>): Promise<Things[K]> {
  const rules = KINDS[kind] as unknown as Rules<K>
  const changes = defined(given)
  return write(deps, async (tx) => {
    const there = await fetch(tx, kind, id)
    if (there.retiredAt) throw conflict(`This ${rules.word} is retired: what is retired is not edited any more.`)
    if (holds(there, changes)) return { row: there, touched: [] }
    await rules.check(tx, { ...there, ...changes } as unknown as { id: string } & Settable<K>)
    const row = await tableOf(tx, kind).update({ where: { id }, data: { ...changes, updatedAt: deps.now() } })
    return { row, touched: await rules.bodies(tx, row as never) }
  })
}

/** Takes a thing and what hangs on it out of use. Nothing is deleted; retiring twice changes nothing. */
export function retire<K extends Kind>(deps: Deps, kind: K, id: string): Promise<Things[K]> {
  const rules = KINDS[kind] as unknown as Rules<K>
  return write(deps, async (tx) => {
    const there = await fetch(tx, kind, id)
    if (there.retiredAt) return { row: there, touched: [] }
    const at = deps.now()
    const touched = await rules.bodies(tx, there as never)
    await rules.retireParts(tx, id, at)
    const row = await tableOf(tx, kind).update({ where: { id }, data: { retiredAt: at, updatedAt: at } })
    return { row, touched }
  })
}

/** One transaction, in which the bodies touched are marked; they are assessed before the answer goes out. */
async function write<K extends Kind>(
  deps: Deps,
  work: (tx: Tx) => Promise<{ row: Row<K>; touched: string[] }>,
): Promise<Things[K]> {
  const { row, touched } = await inPlantTransaction(deps.database, async (tx) => {
    const done = await work(tx)
    await markDue(asQueryable(tx), done.touched, deps.now())
    return done
  })
  await assessTouched(deps, touched)
  return show(row) as Shown<Row<K>> as unknown as Things[K]
}

async function fetch<K extends Kind>(tx: Tx, kind: K, id: string): Promise<Row<K>> {
  const row = await tableOf(tx, kind).findUnique({ where: { id } })
  if (!row) throw missing(kind, id)
  return row
}

const defined = (given: object) => Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined))

const holds = (row: object, wanted: object) =>
  Object.entries(wanted).every(([key, value]) => (row as Record<string, unknown>)[key] === value)
