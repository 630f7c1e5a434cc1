import type { DrumLevel } from '@sightglass/contract'
import { uuidv7 } from 'uuidv7'
import type { Deps } from '../../platform/context.ts'
import { asQueryable } from '../../platform/database.ts'
import { conflict, invalidAt } from '../../platform/problems.ts'
import { refuseUnlikelyTime } from '../../platform/times.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { KINDS, missing } from './kinds.ts'
import { inPlantTransaction } from './queries.ts'
import { show } from './show.ts'

interface Given {
  id?: string | undefined
  at: string
  levelL: number
  deliveredL: number
  person: string
}

/** A drum holds a little more than its nominal size. Common practice, no source. */
const BRIM = 1.05

/** Records the level of a drum; the same id with the same content again gets the same answer. */
export async function recordLevel(deps: Deps, drumId: string, { id = uuidv7(), ...given }: Given): Promise<DrumLevel> {
  const at = refuseUnlikelyTime(given.at, deps.now(), 'body.at')
  const { level, touched } = await inPlantTransaction(deps.database, async (tx) => {
    const drum = await tx.drum.findUnique({ where: { id: drumId } })
    if (!drum) throw missing('drum', drumId)
    const there = await tx.drumLevel.findUnique({ where: { id } })
    if (there) {
      const same =
        there.drumId === drumId &&
        +there.at === +at &&
        there.levelL === given.levelL &&
        there.deliveredL === given.deliveredL &&
        there.person === given.person
      if (!same) throw conflict(`Another level with the id ${id} is there already.`)
      return { level: there, touched: [] }
    }
    if (drum.retiredAt) throw conflict('This drum is retired: no more levels are recorded for it.')
    if (given.levelL > drum.capacityL * BRIM) throw tooFull(given.levelL, drum.capacityL)
    const level = await tx.drumLevel.create({ data: { id, drumId, ...given, at, createdAt: deps.now() } })
    const touched = await KINDS.drum.bodies(tx, { ...drum, content: drum.content as never })
    await markDue(asQueryable(tx), touched, deps.now())
    return { level, touched }
  })
  await assessTouched(deps, touched)
  return show(level)
}

function tooFull(levelL: number, capacityL: number) {
  const message = `${levelL} L is more than the drum holds (${capacityL} L): correct the level, or the drum's capacity.`
  return invalidAt('body.levelL', message)
}

export async function listLevels(
  { database: { prisma } }: Deps,
  drumId: string,
  page: { offset: number; limit: number },
) {
  const where = { drumId }
  const [drum, total, levels] = await Promise.all([
    prisma.drum.findUnique({ where: { id: drumId } }),
    prisma.drumLevel.count({ where }),
    prisma.drumLevel.findMany({
      where,
      orderBy: [{ at: 'desc' }, { id: 'desc' }],
      skip: page.offset,
      take: page.limit,
    }),
  ])
  if (!drum) throw missing('drum', drumId)
  return { total, items: levels.map(show) }
}
