import {
  bodyAsTested,
  CAUTIONS,
  type CautionKey,
  CHEMICALS,
  type Chemical,
  type ChemicalKey,
  type DosePlan,
  type FindingKind,
  labelOf,
  MEETINGS,
  meetingOf,
  midSentence,
  PARAMETERS,
  type PlanForBody,
  type PlanStep,
  waterNow,
} from '@sightglass/chemistry'
import type { Overview } from '@sightglass/contract'
import { type Ledger, planCautions, prepareLedger, prepareStep, type StepModel } from '../../shared/doses.ts'
import { assessed, type Known, withWater } from '../../shared/known.ts'
import { type System, thingText } from '../../shared/measure.ts'
import { counted } from '../../shared/numbers.ts'
import { sentenceOf } from '../../shared/phrase.ts'
import { ago, exactTime, span } from '../../shared/time.ts'
import { PARAMETER_SHORT } from '../../shared/words.ts'

export interface PlanModel {
  /** One sentence: how many steps and how long, nothing to dose, or what stands in the way. */
  lead: string
  /** What must be tested or entered first. */
  missing: string[]
  steps: StepModel[]
  /** What becomes dangerous when it meets, among what the steps use. */
  apart: string[]
  /** Read once, before the first step; no finding says them again. */
  cautions: CautionKey[]
  /** What stays outside its range, and why. */
  remains: string[]
  ledger: Ledger | null
  /** What was taken where nobody measured. */
  assumed: string[]
  /** The tests that it rests on, with their age. */
  rests: string
}

export function preparePlan(
  known: Known,
  { plan, missing, assumed, untested }: PlanForBody,
  { system, zone, nowMs }: { system: System; zone: string; nowMs: number },
): PlanModel {
  const words = (phrases: readonly Parameters<typeof sentenceOf>[0][]) => phrases.map((one) => sentenceOf(one, system))
  const steps = plan?.steps ?? []
  return {
    lead: leadOf(plan),
    missing: words(missing),
    steps: steps.map((step) => prepareStep(step, system)),
    apart: keptApart(steps),
    cautions: plan && steps.length > 0 ? planCautions(plan) : [],
    remains: words(plan?.remains ?? []),
    ledger: plan && ledgerOf(known, plan, untested, system),
    assumed: words(assumed),
    rests: plan ? restsOn(known, { system, zone, nowMs }) : '',
  }
}

function leadOf(plan: DosePlan | null): string {
  if (!plan) return 'No dose can be worked out yet.'
  const { steps, remains } = plan
  if (steps.length === 0)
    return remains.length > 0
      ? 'Nothing is to be dosed; what is outside its range stands below.'
      : 'Nothing is to be dosed: the water is within its ranges.'
  const time = `about ${span(minutesOf(steps) * 60_000)} with the waits`
  return steps.length === 1
    ? `One step, ${time}.`
    : `${counted(steps.length, 'step')} in this order, ${time}. Each amount rests on what the step before should leave: test after each, and where it is otherwise, enter the test and begin anew.`
}

const minutesOf = (steps: readonly PlanStep[]) =>
  steps.reduce((sum, step) => sum + step.waitMin + (step.kind === 'dose' ? (step.parts - 1) * step.betweenMin : 0), 0)

function keptApart(steps: readonly PlanStep[]): string[] {
  const used = [...new Set(steps.flatMap((step) => (step.kind === 'dose' ? [step.chemical] : [])))].map(
    (key) => CHEMICALS[key],
  )
  return used.flatMap((one, index) =>
    used.slice(index + 1).flatMap((other) => {
      const does = meetingOf(one.family, other.family)
      return does && does !== 'mixed' ? [`${one.name} with ${midSentence(other.name)} ${MEETINGS[does]}.`] : []
    }),
  )
}

function ledgerOf({ snapshot, profile }: Known, plan: DosePlan, untested: PlanForBody['untested'], system: System) {
  const states = [
    { title: 'Now', state: plan.before },
    ...plan.steps.map(({ after }, index) => ({ title: `After step ${index + 1}`, state: after })),
  ]
  return prepareLedger(states, {
    profile,
    body: bodyAsTested(snapshot),
    water: waterNow(snapshot),
    untested,
    system,
  })
}

/** `pH 7.4 and Free Cl 2.5 ppm, Nov 25, 5:00 am (1 h ago); Calcium 300 ppm, Nov 18, …`: tests of one time together. */
function restsOn({ snapshot }: Known, { system, zone, nowMs }: { system: System; zone: string; nowMs: number }) {
  const byTime = new Map<number, string[]>()
  for (const parameter of PARAMETERS) {
    const tested = snapshot.tests[parameter]
    if (!tested) continue
    const text = `${PARAMETER_SHORT[parameter]} ${thingText(parameter, tested.value, system)}`.replaceAll(' ', '\u00a0')
    byTime.set(tested.atMs, [...(byTime.get(tested.atMs) ?? []), text])
  }
  const parts = [...byTime]
    .sort(([a], [b]) => b - a)
    .map(([atMs, texts]) => `${texts.join(', ')}: ${exactTime(atMs, zone, nowMs)} (${ago(atMs, nowMs)})`)
  return parts.join('; ')
}

/** Which step mends each finding that dosing can mend: the first after whose water it would not be found. */
export function mendedBy(known: Known, { plan, untested }: PlanForBody, nowMs: number): Map<FindingKind, number> {
  const mended = new Map<FindingKind, number>()
  if (!plan || plan.steps.length === 0) return mended
  const dosable = assessed(known.snapshot, known, nowMs).findings.filter(
    ({ family }) => family === 'sanitizer' || family === 'balance',
  )
  const found = plan.steps.map(({ after: { water } }) => {
    const snapshot = withWater(known, { water, untested }, nowMs)
    return new Set(assessed(snapshot, known, nowMs).findings.map(({ kind }) => kind))
  })
  for (const { kind } of dosable) {
    const index = found.findIndex((kinds) => !kinds.has(kind))
    if (index >= 0) mended.set(kind, index + 1)
  }
  return mended
}

export interface OnSiteModel {
  /** What the plan chooses from, in a line. */
  line: string
  groups: { title: string; chemicals: { key: ChemicalKey; label: string; checked: boolean }[] }[]
}

export function prepareOnSite(chemicals: readonly Chemical[]): OnSiteModel {
  const checked = new Set(chemicals.map(({ key }) => key))
  const all = Object.values(CHEMICALS).filter(({ referenceOnly }) => !referenceOnly)
  const groups = GROUPS.map(({ title, families }) => ({
    title,
    chemicals: all
      .filter(({ family }) => families.includes(family))
      .map((chemical) => ({ key: chemical.key, label: labelOf(chemical), checked: checked.has(chemical.key) })),
  }))
  return { line: chemicals.map(labelOf).join('; '), groups }
}

const GROUPS: { title: string; families: readonly Chemical['family'][] }[] = [
  { title: 'Sanitizer', families: ['hypochlorite', 'calciumHypochlorite', 'isocyanurate', 'bromine'] },
  { title: 'pH and alkalinity', families: ['acid', 'carbonDioxide', 'carbonate', 'caustic'] },
  { title: 'Other', families: ['calcium', 'stabilizer', 'borate', 'reducer', 'salt'] },
]

/** The plan as plain text, for a message to whoever does it. */
export function planText(model: PlanModel, { body, facility }: Pick<Overview, 'body' | 'facility'>) {
  const lines = [`${body.name}, ${facility.name}: what to do now`, model.lead]
  const list = (title: string, items: readonly string[]) => {
    if (items.length > 0) lines.push('', title, ...items.map((item) => `- ${item}`))
  }
  list('Test or enter first', model.missing)
  list('What is assumed', model.assumed)
  if (model.steps.length > 0)
    list('Cautions', [CAUTIONS.localCodeFirst, ...model.cautions.map((key) => CAUTIONS[key]), ...model.apart])
  model.steps.forEach((step, index) => {
    const measure = [step.amount, step.weight && `(${step.weight})`, step.parts].filter(Boolean).join(' ')
    lines.push('', `${index + 1}. ${step.what}${measure && `: ${measure}`}`, `   ${step.purpose}`)
    lines.push(...step.notes.map((note) => `   - ${note}`))
    const after = [step.wait, step.retest && `test, and expect ${step.retest}`].filter(Boolean).join(', then ')
    if (after) lines.push(`   ${after}.`)
  })
  list('What stays outside its range, and why', model.remains)
  if (model.rests) lines.push('', `Rests on: ${model.rests}`)
  return `${lines.join('\n').replaceAll('\u00a0', ' ')}\n`
}
