export { assess } from './assess.ts'
export { assessWater, isOfEquipment } from './assessWater.ts'
export * from './balance/additions.ts'
export * from './balance/saturation.ts'
export * from './balance/saturationTable.ts'
export * from './balance/waterState.ts'
export * from './constants.ts'
export { derivedValues } from './derived.ts'
export * from './disinfection/breakpoint.ts'
export * from './disinfection/bromine.ts'
export * from './disinfection/contact.ts'
export * from './dosing/catalogue.ts'
export { CHEMICAL_SOURCES } from './dosing/chemicalSources.ts'
export type { PlanRequest } from './dosing/course.ts'
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
export {
  type Expectation,
  type Expected,
  expectedRetest,
  RETESTED,
  type Retested,
  type RetestFinding,
  retestFindings,
} from './dosing/expected.ts'
export { HAZARDS, MEETINGS, type MeetingKey, meetingOf, notWith } from './dosing/mixing.ts'
export { dosePlan } from './dosing/plan.ts'
export type * from './dosing/plan.types.ts'
export { chemicalsOf, type PlanForBody, type PlanOptions, planFor } from './dosing/planFor.ts'
export { type Wanted, type WantedRange, type WantedThing, wantedRanges } from './dosing/wanted.ts'
export * from './equilibria/activity.ts'
export * from './equilibria/boric.ts'
export * from './equilibria/carbonate.ts'
export * from './equilibria/cyanurate.ts'
export * from './equilibria/hypobromous.ts'
export * from './equilibria/hypochlorous.ts'
export * from './errors.ts'
export * from './feed/index.ts'
export * from './finding.ts'
export { bodyAsTested, waterNow } from './findings/facts.ts'
export { setPointAimFor } from './findings/setPointAim.ts'
export { type Basis, basisOf } from './incidents/basis.ts'
export * from './incidents/contact.ts'
export { incidentDoses } from './incidents/doses.ts'
export * from './incidents/protocol.ts'
export * from './incidents/reopening.ts'
export * from './incidents/steps.ts'
export * from './lifecycle.ts'
export { outOfUseNow } from './outOfUse.ts'
export * from './phrase.ts'
export * from './profile.ts'
export * from './profiles/defaultKey.ts'
export * from './profiles/derive.ts'
export * from './profiles/difference.ts'
export * from './profiles/index.ts'
export { UNIT_OF as LIMIT_UNITS } from './profiles/limits.ts'
export { limitRangeFor, limitRulesFor, limitValuesFor, testRulesFor } from './profiles/lookup.ts'
export * from './profiles/words.ts'
export * from './quantities.ts'
export * from './redox/index.ts'
export type { RedoxJudgement } from './redox/judgement.types.ts'
export * from './scoring.ts'
export * from './severity.ts'
export * from './snapshot.ts'
export * from './sources.ts'
export {
  type AlkalinityParts,
  type CarbonateSystem,
  carbonateAlkalinity,
  carbonateSystem,
  phOf,
} from './speciation/carbonate.ts'
export * from './speciation/chlorine.ts'
export * from './speciation/conductivity.ts'
export * from './supply/drums.ts'
export * from './supply/falls.ts'
export * from './supply/forecast.ts'
export * from './supply/plan.ts'
export type { UseRange } from './supply/spread.ts'
export * from './supply/use.ts'
export * from './units.ts'
export * from './vocabulary.ts'
export { type BufferedWater, WATER_RANGE, type Water } from './water.ts'
export * from './words.ts'
