import {
  CAUTIONS,
  type DriftFactor,
  formatQuantity,
  type Interval,
  type RedoxView,
  type Unit,
} from '@sightglass/chemistry'
import {
  axisOf,
  between,
  dayAxis,
  inOrder,
  named,
  type PlotModel,
  type PlotRow,
  type Series,
} from '../../charts/prepare/plot.ts'
import { type System, unitOf } from '../../shared/measure.ts'
import { counted, plainNumber } from '../../shared/numbers.ts'
import { sentenceOf } from '../../shared/phrase.ts'
import { exactTime } from '../../shared/time.ts'
import { WORK_WORDS } from '../work/words.ts'

/** Whose page it is shown on. */
export interface Place {
  bodyId: string
  system: System
  /** The facility's. */
  zone: string
}

type Relation = NonNullable<RedoxView['relation']>
type SetPoint = NonNullable<RedoxView['setPoint']>

const WHAT_WORDS: Record<Relation['oxidant'], { acid: string; reading: string }> = {
  chlorine: { acid: 'Free hypochlorous acid', reading: 'Free chlorine' },
  bromine: { acid: 'Bromine', reading: 'Bromine' },
  chlorineDioxide: { acid: 'Chlorine dioxide', reading: 'Chlorine dioxide' },
}

const mvText = (mv: number) => formatQuantity({ value: mv, unit: 'mV' }, 'metric')
/** `+5 mV`, `−12 mV` */
const signed = (value: number, decimals: number) =>
  `${Number(value.toFixed(decimals)) === 0 ? '' : value < 0 ? '−' : '+'}${plainNumber(Math.abs(value), decimals)}`
const signedMv = (mv: number) => `${signed(mv, 0)} mV`
const rangeMv = ({ low, high }: Interval) => `${plainNumber(low, 0)} to ${mvText(high)}`
const acidText = (mgL: number, system: System) => formatQuantity({ value: mgL, unit: 'mg/L' }, system)

export interface RedoxModel {
  missing: string[]
  told: string
  curve: PlotModel | null
  course: PlotModel | null
  setPoint: SetPointModel | null
  drift: { told: string; reasons: string[]; parts: PartModel[]; untested: string } | null
  phProbe: PhModel | null
  /** What was done, and steps that nobody wrote down, newest first. */
  done: string[]
  pairs: PairTable | null
  basis: string
}

export function prepareRedox(view: RedoxView, place: Place): RedoxModel {
  const { system, zone } = place
  const { relation, setPoint, drift } = view
  const sentences = (phrases: Parameters<typeof sentenceOf>[0][]) => phrases.map((one) => sentenceOf(one, system))
  return {
    missing: sentences(view.missing),
    told: relation ? sentenceOf(relation.told, system) : '',
    curve: relation && curveOf(relation, setPoint, system, zone, view.atMs),
    course: relation && courseOf(view, relation, zone),
    setPoint: setPoint && setPointOf(setPoint, relation, place),
    drift: drift && {
      told: sentenceOf(drift.told, system),
      reasons: sentences([...drift.reasons]),
      ...partsOf(drift.attribution, system),
    },
    phProbe: phProbeOf(view, place),
    done: doneOf(view, zone),
    pairs: relation && relation.points.length > 0 ? pairsOf(relation, system, zone, view.atMs) : null,
    basis: basisText(view, zone),
  }
}

/** ORP against the acid: the curve with its band, pairs beside it, the set point of now and the one that would be right. */
function curveOf(
  relation: Relation,
  setPoint: SetPoint | null,
  system: System,
  zone: string,
  nowMs: number,
): PlotModel | null {
  const { curve, points, oxidant } = relation
  const first = curve[0]
  const last = curve[curve.length - 1]
  if (!first || !last) return null
  const words = WHAT_WORDS[oxidant]
  const unit = unitOf('mg/L', system)
  const rows: PlotRow[] = curve.map(({ acidMgL, sanitizerMgL, orpMv }) => ({
    x: acidMgL,
    band: [orpMv.low, orpMv.high],
    curve: orpMv.value,
    words: `${acidText(acidMgL, system)} (${words.reading.toLowerCase()} ${acidText(sanitizerMgL, system)}): ${rangeMv(orpMv)}`,
  }))
  const pairs: PlotRow[] = points.map(({ atMs, acidMgL, besideCurveMv, orpMv, sanitizerMgL, doubted, sinceBreak }) => ({
    x: acidMgL,
    [doubted ? 'doubted' : sinceBreak ? 'since' : 'before']: besideCurveMv,
    words: `${exactTime(atMs, zone, nowMs)}: ${words.reading.toLowerCase()} ${acidText(sanitizerMgL, system)}, ORP ${mvText(orpMv)}${doubted ? ', doubted' : ''}`,
  }))
  const held = setPoint?.holdsTargetMv ?? null
  const levels = setPointLevels(setPoint)
  const heights = [
    ...curve.flatMap(({ orpMv }) => [orpMv.low, orpMv.high]),
    ...points.map(({ besideCurveMv }) => besideCurveMv),
    ...levels.map(({ at }) => at),
  ]
  return {
    title: `ORP against ${words.acid.toLowerCase()}`,
    summary: `${points.length} pairs; ORP ${mvText(first.orpMv.value)} at ${acidText(first.acidMgL, system)}, ${mvText(last.orpMv.value)} at ${acidText(last.acidMgL, system)}${held ? `; the target is held at ${mvText(held.value)}, between ${rangeMv(held)}` : ''}`,
    x: between(
      axisOf([first.acidMgL, last.acidMgL], { title: `${words.acid}, ${unit.label}`, leastSpan: 0.001, atLeast: 0 }),
      first.acidMgL,
      last.acidMgL,
    ),
    y: axisOf(heights, {
      title: `mV, ${waterText(relation, system)}`,
      leastSpan: 40,
    }),
    series: [
      { key: 'band', name: '90 % band', form: 'band', tone: 'main' },
      { key: 'curve', name: 'as the probe stands now', form: 'line', tone: 'main' },
      ...used(pairs, [
        { key: 'since', name: 'tests since the last break', form: 'dots', tone: 'main' },
        { key: 'before', name: 'before it', form: 'rings', tone: 'main' },
        { key: 'doubted', name: 'far from all others', form: 'crosses', tone: 'other' },
      ]),
    ],
    rows: inOrder(rows, pairs),
    marks: [],
    levels,
  }
}

function waterText({ water, untested }: Relation, system: System): string {
  const taken = (factor: Relation['untested'][number]) => (untested.includes(factor) ? ' (not tested)' : '')
  return `at pH ${plainNumber(water.ph, 1)}${taken('ph')} and ${formatQuantity({ value: water.tempC, unit: '°C' }, system)}${taken('temperature')}`
}

const used = (rows: readonly PlotRow[], series: Series[]) =>
  series.filter(({ key }) => rows.some((row) => row[key] !== undefined))

function setPointLevels(setPoint: SetPoint | null): PlotModel['levels'] {
  if (!setPoint) return []
  const { nowMv, holdsTargetMv } = setPoint
  const todayMv = stepOf(setPoint)
  return [
    ...(nowMv === null ? [] : [{ at: nowMv, label: `set to ${mvText(nowMv)}`, tone: 'faint' as const }]),
    ...(todayMv !== null
      ? [{ at: todayMv, label: `today: ${mvText(todayMv)}`, tone: 'other' as const }]
      : holdsTargetMv === null
        ? []
        : [
            {
              at: holdsTargetMv.value,
              label: `holds the target: ${mvText(holdsTargetMv.value)}`,
              tone: 'other' as const,
            },
          ]),
  ]
}

/** Expected against seen over time, with set points and break points. */
function courseOf(view: RedoxView, relation: Relation, zone: string): PlotModel | null {
  const { points, comparedFromMs } = relation
  const first = points[0]
  if (!first) return null
  const { setPoint, breaks, atMs } = view
  const fromMs = first.atMs
  const compared: PlotRow[] = points.map((point) => ({
    x: point.atMs,
    expected: point.expectedMv.value,
    band: [point.expectedMv.low, point.expectedMv.high],
    [point.doubted ? 'doubted' : 'seen']: point.orpMv,
    words: `${exactTime(point.atMs, zone, atMs)}: seen ${mvText(point.orpMv)}, expected ${mvText(point.expectedMv.value)} (${signedMv(point.residualMv)})`,
  }))
  const set = stepsOf(setPoint?.history ?? [], fromMs, atMs)
  const x = dayAxis(fromMs, atMs, zone)
  const heights = [
    ...points.flatMap(({ orpMv, expectedMv }) => [orpMv, expectedMv.low, expectedMv.high]),
    ...set.map(({ set: mv }) => Number(mv)),
  ]
  const residuals = points.slice(-5).map(({ residualMv }) => residualMv)
  const mean = residuals.reduce((sum, one) => sum + one, 0) / residuals.length
  return {
    title: 'Expected against seen',
    summary: `${points.length} tests since ${exactTime(fromMs, zone, atMs)}; the last ${residuals.length} stood ${signedMv(mean)} from what was expected on average`,
    x: dayAxis(fromMs, atMs, zone),
    y: axisOf(heights, {
      title:
        comparedFromMs === null ? 'mV' : `mV; expected as the probe stood ${exactTime(comparedFromMs, zone, atMs)}`,
      leastSpan: 40,
    }),
    series: used(
      [...compared, ...set],
      [
        { key: 'band', name: 'expected, 90 % of good tests', form: 'band', tone: 'main' },
        { key: 'set', name: 'set point', form: 'step', tone: 'faint' },
        { key: 'seen', name: 'seen', form: 'dots', tone: 'main' },
        { key: 'doubted', name: 'far from all others', form: 'crosses', tone: 'other' },
      ],
    ),
    rows: inOrder(compared, set),
    marks: named(
      [
        ...breaks.filter((one) => one.atMs >= fromMs).map((one) => ({ at: one.atMs, label: breakWords(one.kind) })),
        ...(setPoint?.logged ?? [])
          .filter((one) => one.atMs >= fromMs)
          .map((one) => ({ at: one.atMs, label: `set to ${mvText(one.orpMv)}` })),
      ],
      x.domain,
    ),
    marksName: 'work and set points moved, listed below',
    levels: [],
  }
}

/** Set points as a stair within a span of time. */
function stepsOf(history: SetPoint['history'], fromMs: number, toMs: number): PlotRow[] {
  const before = history.findLast(({ atMs }) => atMs <= fromMs)
  const within = history.filter(({ atMs }) => atMs > fromMs && atMs <= toMs)
  const all = [...(before ? [{ ...before, atMs: fromMs }] : []), ...within]
  const last = all[all.length - 1]
  return last ? [...all, { ...last, atMs: toMs }].map(({ atMs, orpMv }) => ({ x: atMs, set: orpMv })) : []
}

const breakWords = (kind: RedoxView['breaks'][number]['kind']) => (kind ? WORK_WORDS[kind] : 'nobody wrote down')

/** Break points and logged moves of the set point in one list. */
function doneOf({ breaks, setPoint, atMs: nowMs }: RedoxView, zone: string): string[] {
  const lines = [
    ...breaks.map(({ atMs, kind, mv }) => ({
      atMs,
      words: `${kind ? WORK_WORDS[kind] : 'a step that nobody wrote down'}${mv ? `, ${signedMv(mv.value)} in the same water` : ''}`,
    })),
    ...(setPoint?.logged ?? []).map(({ atMs, orpMv }) => ({ atMs, words: `ORP set point moved to ${mvText(orpMv)}` })),
  ]
  return lines.sort((a, b) => b.atMs - a.atMs).map(({ atMs, words }) => `${exactTime(atMs, zone, nowMs)}: ${words}`)
}

export interface SetPointModel {
  head: string
  action: SetPoint['action']
  values: { label: string; value: string }[]
  reasons: string[]
  cautions: string[]
  /** Where a move is logged; '' when it is not to be moved. */
  logHref: string
}

const ACTION_WORDS: Record<SetPoint['action'], string> = {
  move: 'Move the set point',
  keep: 'Leave the set point where it is',
  testFirst: 'Test first',
  mendFirst: 'Mend first, then look again',
  cannotTell: 'Nothing tells where it should be',
}

/** What it is to be set to today; null where nothing is found wrong. */
const stepOf = ({ todayMv, urgent }: SetPoint) => (urgent ? todayMv : null)

/** Without a finding no move is asked for, though another set point would hold the target. */
function headOf(setPoint: SetPoint): string {
  const { action, nowMv, holdsTargetMv } = setPoint
  const step = stepOf(setPoint)
  if (step !== null) return `${ACTION_WORDS[action]} to ${mvText(step)} today`
  if (action !== 'move' || holdsTargetMv === null || nowMv === null) return ACTION_WORDS[action]
  return `Set point: ${mvText(holdsTargetMv.value)} would hold the target (now ${mvText(nowMv)})`
}

function setPointOf(setPoint: SetPoint, relation: Relation | null, { bodyId, system }: Place): SetPointModel {
  const { action, nowMv, holdsTargetMv, byMv, nowMeansMgL, targetMgL } = setPoint
  const todayMv = stepOf(setPoint)
  const text = (value: number, unit: Unit) => formatQuantity({ value, unit }, system)
  const reading = WHAT_WORDS[relation?.oxidant ?? 'chlorine'].reading
  return {
    head: headOf(setPoint),
    action: action === 'move' && todayMv === null ? 'keep' : action,
    values: [
      { label: 'Set point now', value: nowMv === null ? 'not known' : mvText(nowMv) },
      ...(nowMeansMgL
        ? [
            {
              label: 'It holds, by the pairs',
              value: `${text(nowMeansMgL.value, 'mg/L')} (${text(nowMeansMgL.low, 'mg/L')} to ${text(nowMeansMgL.high, 'mg/L')})`,
            },
          ]
        : []),
      { label: `Target, ${reading.toLowerCase()}`, value: text(targetMgL, 'mg/L') },
      ...(holdsTargetMv
        ? [{ label: 'The target is held at', value: `${mvText(holdsTargetMv.value)} (${rangeMv(holdsTargetMv)})` }]
        : []),
      ...(todayMv !== null && byMv !== null
        ? [{ label: 'Set it today to', value: `${mvText(todayMv)} (${signedMv(byMv)})` }]
        : []),
    ],
    reasons: setPoint.reasons.map((one) => sentenceOf(one, system)),
    cautions: setPoint.cautions.map((key) => CAUTIONS[key]),
    logHref: todayMv === null ? '' : `/bodies/${bodyId}/work/new?orpSetPointMv=${todayMv}`,
  }
}

export interface PartModel {
  name: string
  change: string
  moved: string
}

const FACTORS: Record<DriftFactor, { name: string; unit: Unit }> = {
  stabilizer: { name: 'Cyanuric acid', unit: 'mg/L' },
  ph: { name: 'pH', unit: 'pH' },
  temperature: { name: 'Temperature', unit: '°C' },
  dissolvedSolids: { name: 'Dissolved solids', unit: 'mg/L' },
  unexplained: { name: 'Explained by no test', unit: 'mV' },
}

/** What moved ORP, and what of it nobody ever tested. */
function partsOf(attribution: NonNullable<RedoxView['drift']>['attribution'], system: System) {
  const all = attribution?.parts ?? []
  const isUntested = ({ factor, from, to }: (typeof all)[number]) =>
    factor !== 'unexplained' && from === null && to === null
  const untested = all.filter(isUntested).map(({ factor }) => nameWithin(FACTORS[factor].name))
  const parts = all
    .filter((part) => !isUntested(part))
    .map(({ factor, mv, from, to }): PartModel => {
      const { name, unit } = FACTORS[factor]
      const text = (value: number | null) => value !== null && formatQuantity({ value, unit }, system)
      return {
        name,
        change: factor === 'unexplained' ? '' : changeText(text(from), text(to)),
        moved: `${signedMv(mv.value)} (${signed(mv.low, 0)} to ${signed(mv.high, 0)})`,
      }
    })
  return { parts, untested: untested.length > 0 ? `Not tested: ${untested.join(', ')}.` : '' }
}

const nameWithin = (name: string) => (name === 'pH' ? name : name.toLowerCase())

function changeText(from: string | false, to: string | false): string {
  if (from === to) return `still ${to}`
  return `${from || 'not tested'} to ${to || 'not tested'}`
}

export interface PhModel {
  told: string
  reasons: string[]
  calibrateBy: string
  chart: PlotModel | null
}

const phText = (ph: number) => plainNumber(ph, 2)
const signedPh = (ph: number) => signed(ph, 2)

function phProbeOf({ phProbe, atMs }: RedoxView, { system, zone }: Place): PhModel | null {
  if (!phProbe) return null
  const { gaps, tolerated, calibratedMs, calibrateByMs, told, reasons } = phProbe
  const first = gaps[0]
  const rows: PlotRow[] = gaps.map((gap) => ({
    x: gap.atMs,
    gap: gap.apart,
    words: `${exactTime(gap.atMs, zone, atMs)}: display ${phText(gap.shownPh)}, test kit ${phText(gap.testedPh)} (${signedPh(gap.apart)})`,
  }))
  const heights = [...gaps.map(({ apart }) => apart), tolerated, -tolerated]
  const last = gaps[gaps.length - 1]
  return {
    told: sentenceOf(told, system),
    reasons: reasons.map((one) => sentenceOf(one, system)),
    calibrateBy:
      calibrateByMs === null ? '' : `If it goes on like this, calibrate by ${exactTime(calibrateByMs, zone, atMs)}.`,
    chart:
      first && last
        ? {
            title: 'pH: display less test kit',
            summary: `${gaps.length} tests since ${exactTime(first.atMs, zone, atMs)}, the last ${signedPh(last.apart)}; ${phText(tolerated)} either way is tolerated`,
            x: dayAxis(first.atMs, atMs, zone),
            y: axisOf(heights, { title: 'pH', leastSpan: 0.5 }),
            series: [{ key: 'gap', name: 'one test', form: 'dots', tone: 'main' }],
            rows,
            marks: named(
              calibratedMs.filter((ms) => ms >= first.atMs).map((ms) => ({ at: ms, label: 'calibrated' })),
              [first.atMs, atMs],
            ),
            marksName: 'calibrated',
            levels: [
              { at: tolerated, label: `+${phText(tolerated)}`, tone: 'faint' },
              { at: -tolerated, label: `−${phText(tolerated)}`, tone: 'faint' },
            ],
          }
        : null,
  }
}

export interface PairTable {
  reading: string
  acid: string
  unit: string
  rows: { atMs: number; at: string; cells: string[]; note: string }[]
}

/** Newest first. */
function pairsOf({ points, oxidant, lastBreakMs }: Relation, system: System, zone: string, nowMs: number): PairTable {
  const unit = unitOf('mg/L', system)
  return {
    reading: WHAT_WORDS[oxidant].reading,
    acid: WHAT_WORDS[oxidant].acid,
    unit: unit.label,
    rows: points
      .map((point) => ({
        atMs: point.atMs,
        at: exactTime(point.atMs, zone, nowMs),
        cells: [
          plainNumber(unit.toReader(point.sanitizerMgL), 2),
          plainNumber(point.ph, 2),
          plainNumber(unit.toReader(point.acidMgL), 3),
          plainNumber(point.orpMv, 0),
          plainNumber(point.expectedMv.value, 0),
          signed(point.residualMv, 0),
          `${plainNumber(point.weight * 100, 0)} %`,
        ],
        note: [
          point.doubted && 'far from all others',
          !point.sinceBreak && lastBreakMs !== null && 'before the last break',
        ]
          .filter(Boolean)
          .join(', '),
      }))
      .reverse(),
  }
}

function basisText({ basis, atMs }: RedoxView, zone: string) {
  const { tests, pairs, hours, work, fromMs } = basis
  const since = fromMs === null ? '' : ` since ${exactTime(fromMs, zone, atMs)}`
  return `Worked out ${exactTime(atMs, zone, atMs)} from ${counted(tests, 'test')} (${plainNumber(pairs, 0)} with an ORP beside it), ${counted(hours, 'hour')} of the controller and ${counted(work, 'entry', 'entries')} of work${since}.`
}
