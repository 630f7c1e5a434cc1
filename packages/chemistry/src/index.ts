export { assess } from './assess.ts'
export * from './balance/additions.ts'
export * from './balance/saturation.ts'
export * from './balance/saturationTable.ts'
export * from './balance/waterState.ts'
export * from './constants.ts'
export { derivedValues } from './derived.ts'
export * from './dosing/catalogue.ts'
export {
  afterDose,
  amountFor,
  amountOf,
  DOSED_THINGS,
  type Dose,
  type DosedThing,
  massOfVolume,
  whatIf,
} from './dosing/effect.ts'
export { HAZARDS, MEETINGS, type MeetingKey, meetingOf, notWith } from './dosing/mixing.ts'
export type * from './dosing/plan.types.ts'
export * from './equilibria/activity.ts'
export * from './equilibria/boric.ts'
export * from './equilibria/carbonate.ts'
export * from './equilibria/cyanurate.ts'
export * from './equilibria/hypobromous.ts'
export * from './equilibria/hypochlorous.ts'
export * from './errors.ts'
export * from './finding.ts'
export { bodyAsTested } from './findings/facts.ts'
export * from './lifecycle.ts'
export * from './phrase.ts'
export * from './profile.ts'
export * from './profiles/derive.ts'
export * from './profiles/index.ts'
export { limitRangeFor, limitRulesFor, testRulesFor } from './profiles/lookup.ts'
export * from './quantities.ts'
export * from './scoring.ts'
export * from './severity.ts'
export * from './snapshot.ts'
export * from './sources.ts'
export * from './speciation/alkalinity.ts'
export { type AlkalinityParts, type CarbonateSystem, carbonateSystem, phOf } from './speciation/carbonate.ts'
export * from './speciation/chlorine.ts'
export * from './supply/forecast.ts'
export * from './units.ts'
export * from './vocabulary.ts'
export { WATER_RANGE, type Water } from './water.ts'
export * from './words.ts'
