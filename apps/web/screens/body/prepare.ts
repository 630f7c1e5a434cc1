import {
  CAUTION_KEYS,
  CAUTIONS,
  type CautionKey,
  FINDING_FAMILIES,
  FINDING_TITLES,
  type FindingFamily,
  type FindingKind,
  formatQuantity,
  PARAMETERS,
  SEVERITY_WORDS,
  type Severity,
} from '@sightglass/chemistry'
import type { Overview, StoredFinding } from '@sightglass/contract'
import { HISTORY_KINDS, type HistoryModel, prepareHistory } from '../../charts/prepare/history.ts'
import { type System, thingNumber, thingUnitLabel, type ValueModel, valueModel } from '../../shared/measure.ts'
import { counted, plainNumber } from '../../shared/numbers.ts'
import { citationWords, displayWords, sentenceOf } from '../../shared/phrase.ts'
import type { Before } from '../../shared/standingBefore.ts'
import { ago, exactTime, span } from '../../shared/time.ts'
import { DRUM_CONTENT_WORDS, FAMILY_WORDS, METHOD_WORDS, PARAMETER_SHORT, thingWords } from '../../shared/words.ts'

export interface FindingModel {
  id: string
  title: string
  severity: Severity
  sentence: string
  limit: string
  since: string
  evidence: { label: string; value: string; source: string; exact: string }[]
  advice: string[]
  /** What to put on the truck for it; '' for nothing. */
  bring: string
  /** Those that no other finding of the body has; the shared ones stand once, above all. */
  cautions: string[]
  /** The step of the dose plan after whose water it would not be found; null when none mends it. */
  step: number | null
}

const SOURCE_WORDS = { test: 'test kit', controller: 'controller', derived: 'derived' }

export function prepareFinding(
  finding: StoredFinding,
  shared: ReadonlySet<CautionKey>,
  system: System,
  zone: string,
  nowMs: number,
  step: number | null = null,
): FindingModel {
  return {
    id: finding.id,
    title: FINDING_TITLES[finding.kind],
    severity: finding.severity,
    sentence: sentenceOf(finding.sentence, system),
    limit: finding.limit ? `${limitWords(finding.limit, system)} ${citationWords(finding.limit.citation)}` : '',
    since: `Since ${exactTime(finding.sinceMs, zone, nowMs)} (${ago(finding.sinceMs, nowMs)})`,
    evidence: finding.evidence.map(({ label, quantity, atMs, source }) => ({
      label,
      value: formatQuantity(quantity, system),
      source: atMs === null ? SOURCE_WORDS[source] : `${SOURCE_WORDS[source]}, ${ago(atMs, nowMs)}`,
      exact: atMs === null ? '' : exactTime(atMs, zone, nowMs),
    })),
    advice: finding.advice.map((phrase) => sentenceOf(phrase, system)),
    bring: (finding.bring ?? []).map((phrase) => sentenceOf(phrase, system)).join('; '),
    cautions: finding.cautions.filter((key) => !shared.has(key)).map((key) => CAUTIONS[key]),
    step,
  }
}

const limitWords = (limit: NonNullable<StoredFinding['limit']>, system: System) =>
  `Limit: ${limit.side === 'min' ? 'at least' : 'at most'} ${formatQuantity(limit, system)}.`

export interface FamilyGroup {
  family: FindingFamily
  title: string
  findings: FindingModel[]
}

/** What the dose plan says already, so that findings need not. */
export interface ByPlan {
  cautions: readonly CautionKey[]
  mended: ReadonlyMap<FindingKind, number>
}
const NO_PLAN: ByPlan = { cautions: [], mended: new Map() }

/** Cautions that several findings share are read once, above all; repeated seven times nobody reads them. The one that is
 *  always on the page, and those of the dose plan, are left out. */
export function sharedCautions(
  findings: Pick<StoredFinding, 'cautions'>[],
  { cautions: ofPlan }: ByPlan = NO_PLAN,
): Set<CautionKey> {
  const several = CAUTION_KEYS.filter((key) => findings.filter(({ cautions }) => cautions.includes(key)).length > 1)
  return new Set<CautionKey>([...several, ...ofPlan, 'localCodeFirst'])
}

export const sharedCautionLines = ({ findings }: Overview, plan: ByPlan = NO_PLAN) =>
  [...sharedCautions(findings, plan)]
    .filter((key) => key !== 'localCodeFirst' && !plan.cautions.includes(key))
    .map((key) => CAUTIONS[key])

/** Findings by what a person would do about them; the family with the worst finding first. */
export function groupFindings(overview: Overview, system: System, nowMs: number, plan = NO_PLAN): FamilyGroup[] {
  const zone = overview.facility.timeZone
  const shared = sharedCautions(overview.findings, plan)
  const order = [...new Set(overview.findings.map(({ family }) => family))]
  return order.map((family) => ({
    family,
    title: FAMILY_WORDS[family],
    findings: overview.findings
      .filter((finding) => finding.family === family)
      .map((finding) => prepareFinding(finding, shared, system, zone, nowMs, plan.mended.get(finding.kind) ?? null)),
  }))
}

/** `100 − 35 (sanitizer) − 10 (supply) = 55`; null when there is no score. */
export function scoreWords(overview: Overview): { score: string; working: string } | null {
  const { standing } = overview
  if (!standing || standing.score === null) return null
  const parts = FINDING_FAMILIES.flatMap((family) =>
    standing.parts.filter((part) => part.family === family && part.taken > 0),
  )
  const taken = parts.map((part) => ` − ${plainNumber(part.taken, 1)} (${FAMILY_WORDS[part.family].toLowerCase()})`)
  const score = plainNumber(standing.score, 1)
  return { score, working: parts.length ? `100${taken.join('')} = ${score}` : 'Nothing taken off 100.' }
}

export interface LatestModel {
  thing: string
  value: ValueModel
  source: string
  age: string
  exact: string
  whose: string
}

export function prepareLatest(overview: Overview, system: System, nowMs: number): LatestModel[] {
  return overview.latest.map((latest) => ({
    thing: `${latest.thing} ${latest.source}`,
    value: valueModel(latest.thing, thingWords(latest.thing), latest.value, latest, system),
    source: SOURCE_WORDS[latest.source],
    age: ago(latest.at, nowMs),
    exact: exactTime(latest.at, overview.facility.timeZone, nowMs),
    whose: [...new Set([latest.minCitation, latest.maxCitation].filter(Boolean))].join('; '),
  }))
}

export interface DrumModel {
  id: string
  name: string
  content: string
  level: string
  levelAge: string
  daysLeft: string
  share: number | null
}

export const prepareDrums = (overview: Overview, system: System, nowMs: number): DrumModel[] =>
  overview.drums.map((drum) => ({
    id: drum.drumId,
    name: drum.name,
    content: DRUM_CONTENT_WORDS[drum.content as keyof typeof DRUM_CONTENT_WORDS] ?? drum.content,
    level:
      drum.levelL === null
        ? 'level never read'
        : `${formatQuantity({ value: drum.levelL, unit: 'L' }, system)} of ${formatQuantity({ value: drum.capacityL, unit: 'L' }, system)}`,
    levelAge: drum.levelAt === null ? '' : `read ${ago(drum.levelAt, nowMs)}`,
    daysLeft:
      drum.daysLeft === null
        ? 'days left unknown'
        : `${formatQuantity({ value: drum.daysLeft, unit: 'd' }, system)} left`,
    share: drum.levelL === null ? null : Math.max(0, Math.min(1, drum.levelL / drum.capacityL)),
  }))

export function prepareHistories(overview: Overview): HistoryModel[] {
  const { view, facility } = overview
  if (!view?.trace) return []
  const { trace, ranges } = view
  return [
    prepareHistory(trace, trace.ph, ranges.ph, HISTORY_KINDS.ph, facility.timeZone),
    prepareHistory(trace, trace.orpMv, ranges.orpMv, HISTORY_KINDS.orp, facility.timeZone),
  ].filter((model) => model !== null)
}

export interface ReadingTable {
  columns: { key: string; title: string; unit: string }[]
  rows: {
    id: string
    at: string
    who: string
    cells: string[]
    display: string
    note: string
    correctHref: string
    corrected: string
  }[]
}

/** Recent tests as a table with the columns that hold anything. */
export function prepareReadings(overview: Overview, system: System, nowMs: number): ReadingTable {
  const used = PARAMETERS.filter((parameter) => overview.readings.some(({ values }) => values[parameter] !== undefined))
  return {
    columns: used.map((key) => ({ key, title: PARAMETER_SHORT[key], unit: thingUnitLabel(key, system) })),
    rows: overview.readings.map((reading) => ({
      id: reading.id,
      at: exactTime(reading.at, overview.facility.timeZone, nowMs),
      who: `${reading.person}, ${METHOD_WORDS[reading.method].toLowerCase()}`,
      cells: used.map((key) => {
        const value = reading.values[key]
        return value === undefined ? '' : thingNumber(key, value, system)
      }),
      display: displayWords(reading),
      note: reading.note,
      correctHref: `/bodies/${overview.body.id}/readings/${reading.id}/correct`,
      corrected: reading.replacesId ? `corrected: ${reading.reason ?? ''}` : '',
    })),
  }
}

export const prepareClosed = (overview: Overview, system: System, nowMs: number) =>
  overview.closedFindings.map((finding) => ({
    id: finding.id,
    title: FINDING_TITLES[finding.kind],
    severity: finding.severity,
    sentence: sentenceOf(finding.sentence, system),
    life: finding.closedAt
      ? `${exactTime(finding.openedAt, overview.facility.timeZone, nowMs)} to ${exactTime(finding.closedAt, overview.facility.timeZone, nowMs)}, ${span(Date.parse(finding.closedAt) - Date.parse(finding.openedAt))}`
      : '',
  }))

export const prepareImports = (overview: Overview, nowMs: number) =>
  overview.imports.map((item) => {
    const own = item.counts?.bodies.find(({ bodyId }) => bodyId === overview.body.id)
    return {
      id: item.id,
      fileName: item.fileName,
      when: exactTime(item.createdAt, overview.facility.timeZone, nowMs),
      person: item.person,
      what: own
        ? `${counted(own.samples, 'sample')}, ${exactTime(own.fromAt, overview.facility.timeZone, nowMs)} to ${exactTime(own.toAt, overview.facility.timeZone, nowMs)}`
        : item.state,
    }
  })

export const factWords = (overview: Overview, system: System) =>
  [
    overview.body.volumeL !== null && `${thingLitres(overview.body.volumeL, 'L', system)}`,
    overview.body.flowLMin !== null && `${thingLitres(overview.body.flowLMin, 'L/min', system)} recirculation`,
    overview.body.cyanuricAcidUsed ? 'stabilized' : 'no cyanuric acid meant',
    `limits: ${overview.profileName}`,
  ].filter((words) => words !== false)

const thingLitres = (value: number, unit: 'L' | 'L/min', system: System) =>
  formatQuantity({ value, unit }, system).replace(/\B(?=(\d{3})+(?!\d))/g, ',')

/** How a body stands after something was stored: `Was Act today, 61; now Fine, 98.` */
export function changeWords(before: Before, overview: Overview) {
  const now = overview.standing
  if (!now) return `${before.what} It has not been assessed yet.`
  const words = (severity: Severity, score: number | null) =>
    `${SEVERITY_WORDS[severity]}${score === null ? '' : ` (${Math.round(score)})`}`
  const was = words(before.severity, before.score)
  const is = words(now.severity, now.score)
  return was === is
    ? `${before.what} The standing stays ${is}.`
    : `${before.what} The standing was ${was} and is now ${is}.`
}
