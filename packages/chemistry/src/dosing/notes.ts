import { chlorineConsumed } from '../balance/additions.ts'
import { inRange } from '../errors.ts'
import type { CautionKey, Phrase } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import type { Water } from '../water.ts'
import { CHEMICALS, type Chemical, type ChemicalFamily, type ChemicalKey } from './catalogue.ts'
import { FAMILY_WORDS, isChlorine, MEETINGS, meetingOf } from './mixing.ts'
import type { WantedThing } from './wanted.ts'

// smaller changes are under what a test kit tells
const SEEN = {
  ph: 0.05,
  totalAlkalinityMgL: 2,
  calciumHardnessMgL: 1,
  cyanuricAcidMgL: 0.5,
  sulfateMgL: 1,
  tdsMgL: 10,
} as const

/** What a dose does beside what it is for. */
export function sideEffects(before: Water, after: Water, chemical: Chemical, thing: WantedThing): Phrase[] {
  const notes: Phrase[] = []
  const both = (key: keyof Water, unit: 'pH' | 'mg/L') =>
    [quantified(before[key], unit), quantified(after[key], unit)] as const
  const rise = (key: keyof Water) => after[key] - before[key]
  if (thing !== 'ph' && Math.abs(rise('ph')) >= SEEN.ph)
    notes.push(say('pH moves from {0} to {1} with it.', ...both('ph', 'pH')))
  if (isChlorine(chemical) && rise('freeChlorineMgL') > 0) notes.push(...usedUp(after, rise('freeChlorineMgL')))
  if (thing !== 'totalAlkalinityMgL' && Math.abs(rise('totalAlkalinityMgL')) >= SEEN.totalAlkalinityMgL) {
    notes.push(say('Total alkalinity moves from {0} to {1} with it.', ...both('totalAlkalinityMgL', 'mg/L')))
  }
  if (thing !== 'calciumHardnessMgL' && rise('calciumHardnessMgL') >= SEEN.calciumHardnessMgL) {
    notes.push(say('Calcium hardness rises by {0}.', quantified(rise('calciumHardnessMgL'), 'mg/L')))
  }
  if (thing !== 'cyanuricAcidMgL' && rise('cyanuricAcidMgL') >= SEEN.cyanuricAcidMgL) {
    notes.push(
      say(
        'Cyanuric acid rises by {0}; only fresh water takes it out again.',
        quantified(rise('cyanuricAcidMgL'), 'mg/L'),
      ),
    )
  }
  if (rise('sulfateMgL') >= SEEN.sulfateMgL) {
    notes.push(
      say(
        'It leaves {0} of sulfate, which attacks cement finishes, grout and concrete as it adds up; hydrochloric acid leaves chloride instead.',
        quantified(rise('sulfateMgL'), 'mg/L'),
      ),
    )
  }
  if (rise('tdsMgL') >= SEEN.tdsMgL)
    notes.push(say('Dissolved solids rise by {0}.', quantified(rise('tdsMgL'), 'mg/L')))
  return notes
}

function usedUp(after: Water, freeChlorineMgL: number): Phrase[] {
  const later = inRange(() => chlorineConsumed(after, Math.min(freeChlorineMgL, after.freeChlorineMgL)))
  return later ? [say('Once that chlorine is used up, pH is at {0}.', quantified(later.ph, 'pH'))] : []
}

/** Said when this chemical follows one that it must not meet. */
export function meetingNote(before: ChemicalKey, chemical: Chemical): Phrase | null {
  const { family } = CHEMICALS[before]
  const does = meetingOf(family, chemical.family)
  // foam and heat are for buckets: in the pool both are thinned long since
  if (does === null || does === 'mixed' || does === 'foam' || does === 'heat') return null
  return say(
    `The step before was ${FAMILY_WORDS[family]}, and that with ${FAMILY_WORDS[chemical.family]} ${MEETINGS[does]}: wait the whole time, at another place, with other tools.`,
  )
}

/** How it goes into the water; the label comes first. Common practice, no source. */
const HANDLING: Record<ChemicalFamily, string> = {
  hypochlorite: 'Pour it slowly along the deep end or before the inlets, pumps running, acid feed off.',
  calciumHypochlorite:
    'Stir it into much water first if its label says so, let it settle, and pour the clear part before the inlets, pumps running, acid feed off.',
  isocyanurate:
    'Only into the water, by its label; never into a feeder or bucket that has held any other chlorine product.',
  chlorineGas: 'Not by hand.',
  bromine: 'By its feeder, which lets it dissolve over hours; never with another product in that feeder.',
  acid: 'Pour it slowly before an inlet at the deep end, pumps running, chlorine feed off, away from metal and from your face.',
  carbonDioxide: 'By its feeder, with the plant room ventilated.',
  carbonate: 'Strew it over the deep end, pumps running.',
  caustic: 'Thinned in much cold water, poured slowly before an inlet, pumps running.',
  calcium:
    'Dissolve it in a bucket of cold water, where it becomes hot, and pour it before the inlets; never beside bicarbonate or soda ash.',
  stabilizer: 'It dissolves over days: in a sock before an inlet; leave the filter alone and test after a week.',
  borate: 'Strew it over the deep end, pumps running.',
  reducer:
    'Half of it first, then retest: what is too much takes up the next chlorine. Only while nobody bathes, and never for a residual that is merely near the limit.',
  salt: 'Strew it over the deep end, pumps running, generator off until it has dissolved.',
}
export const handlingOf = ({ family }: Chemical): Phrase[] => [say(HANDLING[family])]

export function cautionsOf(chemical: Chemical): CautionKey[] {
  return [
    'localCodeFirst',
    'protectiveEquipment',
    ...(chemical.family === 'acid' || chemical.family === 'caustic' ? (['acidIntoWater'] as const) : []),
    ...(chemical.family === 'acid' || isChlorine(chemical) ? (['neverTogether'] as const) : []),
    ...(chemical.family === 'carbonDioxide' ? (['ventilateAndLeave'] as const) : []),
    'retestBeforeBathers',
  ]
}
