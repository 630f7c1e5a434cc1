import {
  CAUTIONS,
  FINDING_TITLES,
  type Finding,
  PARAMETERS,
  type PlanOptions,
  planFor,
  type Severity,
  type Snapshot,
} from '@sightglass/chemistry'
import { planCautions, prepareStep, type StepModel } from './doses.ts'
import { type Draft, readTexts, swapped } from './entry.ts'
import { assessed, type Known, withTest } from './known.ts'
import type { System } from './measure.ts'
import { counted } from './numbers.ts'
import { type FindingLine, findingLines, sentenceOf } from './phrase.ts'
import { fromLocalInput, timeTrouble } from './time.ts'

/** What follows from a test while it is being typed. Nothing of it is stored. */
export type Advice =
  | { state: 'nothing' }
  /** No advice, and why: an impossible number or time, or a newer test. */
  | { state: 'held'; why: string }
  | ({ state: 'given' } & Given)

interface Given {
  severity: Severity
  /** What the typed values would be found to mean, worst first. */
  findings: FindingLine[]
  /** The first thing to do about each, said once. */
  first: string[]
  /** What they would mend. */
  cleared: string[]
  steps: Pick<StepModel, 'what' | 'amount' | 'weight' | 'parts' | 'purpose'>[]
  more: string
  missing: string[]
  /** Possible, but so rare that nobody should dose by them before looking again. */
  unusual: string[]
  /** Without the one that is always on the page. */
  cautions: string[]
}

const FIRST_STEPS = 2

type Typed = Pick<Draft, 'texts' | 'confirmed' | 'at' | 'system'>

interface Circumstances {
  zone: string
  system: System
  nowMs: number
  options: PlanOptions
  present: Snapshot
}

/**
 * @param drafts the tests of one body that are being typed, oldest first
 * @param known the body as it is known without them
 * @param present the body as it stands now, for what would change
 */
export function adviceOn(drafts: readonly Typed[], known: Known, given: Circumstances): Advice {
  const { zone, system, nowMs, options, present } = given
  const times = new Set<number>()
  const unusual: string[] = []
  let { snapshot } = known
  let anything = false
  for (const draft of drafts) {
    const read = readTexts(draft.texts, draft.confirmed, draft.system)
    const [trouble] = Object.values({ ...read.errors, ...swapped(read.values) })
    if (trouble) return { state: 'held', why: `${trouble} No advice before that is mended.` }
    const typed = PARAMETERS.filter((parameter) => read.values[parameter] !== undefined)
    if (typed.length === 0) continue
    const atMs = fromLocalInput(draft.at, zone)
    if (atMs === null || timeTrouble(atMs, nowMs)) return { state: 'held', why: 'No advice before the time is right.' }
    const next = withTest(snapshot, read.values, atMs)
    if (typed.some((parameter) => next.tests[parameter]?.atMs === atMs)) times.add(atMs)
    unusual.push(...read.unusual.map(({ words }) => words))
    snapshot = next
    anything = true
  }
  if (!anything) return { state: 'nothing' }
  if (times.size === 0)
    return { state: 'held', why: 'Newer tests of all this are stored: these numbers change no advice.' }

  const { findings, standing } = assessed(snapshot, known, nowMs)
  const before = assessed(present, known, nowMs).findings
  const plan = planFor(snapshot, known.profile, nowMs, options)
  const steps = plan.plan?.steps ?? []
  const kinds = new Set(findings.map(({ kind }) => kind))
  const own = findings.filter((finding) => restsOn(finding, times))
  return {
    state: 'given',
    severity: standing.severity,
    findings: findingLines(own, system),
    first: [...new Set(own.flatMap(({ advice }) => advice.slice(0, 1).map((phrase) => sentenceOf(phrase, system))))],
    cleared: [...new Set(before.filter(({ kind }) => !kinds.has(kind)).map(({ kind }) => FINDING_TITLES[kind]))],
    steps: steps.slice(0, FIRST_STEPS).map((step) => prepareStep(step, system)),
    more: steps.length > FIRST_STEPS ? `And ${counted(steps.length - FIRST_STEPS, 'more step', 'more steps')}.` : '',
    missing: plan.missing.map((phrase) => sentenceOf(phrase, system)),
    unusual,
    cautions: plan.plan ? planCautions(plan.plan).map((key) => CAUTIONS[key]) : [],
  }
}

const restsOn = ({ evidence }: Finding, times: ReadonlySet<number>) =>
  evidence.some(({ atMs, source }) => source !== 'controller' && atMs !== null && times.has(atMs))
