import type { DrumFacts, DrumLevel } from '../snapshot.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'

/** What went out of a drum between two readings: level before + filled in − level after. */
export interface Fall {
  fromMs: number
  toMs: number
  fallL: number
}

// a stick or a scale on the drum is read to about a hundredth of its content; common practice, no source
const STICK_SHARE = 0.01
// a rise beyond this share of the drum is a refill that nobody wrote down, a smaller one is the stick
const REFILL_SHARE = 0.03
// readings closer together tell more about the stick than about the use
const SHORTEST_MS = 12 * HOUR_MS
// of what hardly falls one waits for more, but not for ever
const LONGEST_MS = 20 * DAY_MS

/** Standard deviation of one reading of the stick, litres. */
export const stickL = ({ capacityL }: Pick<DrumFacts, 'capacityL'>) => STICK_SHARE * capacityL
/** … and of a fall, which takes two. */
export const stickErrorL = (drum: Pick<DrumFacts, 'capacityL'>) => Math.SQRT2 * stickL(drum)

/** Nothing is left, as far as the stick tells. */
export const isReadEmpty = (drum: Pick<DrumFacts, 'capacityL'>, { levelL }: Pick<DrumLevel, 'levelL'>) =>
  levelL <= stickErrorL(drum)

export const fellBetween = (before: DrumLevel, after: DrumLevel) => before.levelL + after.deliveredL - after.levelL

/** More in the drum than before although nothing was noted as filled in. */
export const roseUnnoted = (drum: DrumFacts, before: DrumLevel, after: DrumLevel) =>
  fellBetween(before, after) < -REFILL_SHARE * drum.capacityL

/**
 * The falls of a drum, oldest first. Readings are joined until half a day has passed and more fell than the stick can
 * miss, so that what one misreads too low is given back by the next; a refill that nobody wrote down begins anew. Between
 * two such refills the falls add up to what was there + filled in − what is left; below 0 counts as nothing at the end only.
 * @param counts whether what lies between two readings may count; the falls begin anew where it may not
 */
export function fallsOf(drum: DrumFacts, counts: (fromMs: number, toMs: number) => boolean = () => true): Fall[] {
  const falls: Fall[] = []
  let open: Fall | null = null
  for (let at = 1; at < drum.levels.length; at++) {
    const [before, after] = [drum.levels[at - 1] as DrumLevel, drum.levels[at] as DrumLevel]
    if (roseUnnoted(drum, before, after) || !counts(before.atMs, after.atMs)) {
      if (open) closeOpen(open, falls)
      open = null
      continue
    }
    open ??= { fromMs: before.atMs, toMs: before.atMs, fallL: 0 }
    open.toMs = after.atMs
    open.fallL += fellBetween(before, after)
    const elapsed = open.toMs - open.fromMs
    const tells = elapsed >= SHORTEST_MS && open.fallL >= 2 * stickErrorL(drum)
    if (tells || (elapsed >= LONGEST_MS && open.fallL >= 0)) {
      falls.push(open)
      open = null
    }
  }
  if (open) closeOpen(open, falls)
  return falls
}

/** What is left over is joined to the fall before it where that can be, else told by itself. */
function closeOpen(open: Fall, falls: Fall[]): void {
  const before = falls[falls.length - 1]
  const joins = before && before.toMs === open.fromMs
  if (open.toMs - open.fromMs >= SHORTEST_MS && open.fallL >= 0) falls.push(open)
  else if (joins && before.fallL + open.fallL >= 0) {
    before.toMs = open.toMs
    before.fallL += open.fallL
  } else if (open.toMs - open.fromMs >= SHORTEST_MS) falls.push({ ...open, fallL: 0 })
}
