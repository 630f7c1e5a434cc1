import type { CautionKey, Phrase, Quantified } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import { DAY_MS } from '../time.ts'
import { FACTOR_WORDS } from './attribution.ts'
import { expectation, expectedOrp, Z_90 } from './fit.ts'
import { formOf } from './form.ts'
import { DOUBTED_WEIGHT } from './level.ts'
import { PH_APART, type PhGap, phGaps } from './phProbe.ts'
import { SET_POINT_MOVES } from './setPoint.ts'
import { type TestedFactor, untestedBy } from './tested.ts'
import { LEAST_SANITIZER_MGL, logAcidOf, ORP_KNOWN_IN, rowOf } from './theory.ts'
import type {
  Correlation,
  Interval,
  Oxidant,
  PhProbeAgreement,
  ProbeWork,
  ProbeWorkKind,
  RedoxAssessment,
  RedoxDrift,
  RedoxModel,
  RedoxRecord,
  RedoxWater,
  SetPointAdvice,
  SetPointAim,
  SetPointChange,
} from './types.ts'
import { ORP_MAY_STEP_MV, PH_STARTS_ANEW } from './work.ts'

/** What one body's ORP and pH mean, ready to be drawn and read; decides nothing that the assessment has not. Times are ms. */
export interface RedoxView {
  /** When it was worked out. */
  atMs: number
  /** What it was worked out from. */
  basis: RedoxBasis
  /** What is missing, and how to get it. */
  missing: Phrase[]
  relation: RelationView | null
  breaks: BreakPoint[]
  setPoint: SetPointView | null
  drift: RedoxDriftView | null
  phProbe: PhProbeView | null
}

export interface RedoxBasis {
  tests: number
  /** Tests with an ORP beside them that the relation could use. */
  pairs: number
  /** Of the roll-up. */
  hours: number
  /** Entries of work at probes and water. */
  work: number
  /** The oldest of all; null without any. */
  fromMs: number | null
}

export interface RelationView {
  oxidant: Oxidant
  correlation: Correlation
  /** What the pairs show, in a sentence. */
  told: Phrase
  /** mV for ten times the acid. */
  slopeMv: Interval
  phMv: Interval
  noiseMv: number
  /** The water for which the curve holds. */
  water: RedoxWater
  /** What no test tells of that water: a usual value stands for it. */
  untested: TestedFactor[]
  curve: CurvePoint[]
  /** Oldest first. */
  points: PairPoint[]
  /** From here on `expectedMv` is by the relation as it stood then; before, by that of each pair's own time. */
  comparedFromMs: number | null
  /** The newest of the break points; null when there is none. */
  lastBreakMs: number | null
}

export interface CurvePoint {
  /** Free hypochlorous acid, mg/L; for bromine and chlorine dioxide the reading itself. */
  acidMgL: number
  /** The reading that goes with it in this water. */
  sanitizerMgL: number
  orpMv: Interval
}

/** One test with the ORP beside it. */
export interface PairPoint {
  atMs: number
  sanitizerMgL: number
  ph: number
  acidMgL: number
  /** As shown. */
  orpMv: number
  /** As it would have stood at the pH, temperature and dissolved solids of the curve, to be seen beside it. */
  besideCurveMv: number
  expectedMv: Interval
  /** Shown less expected. */
  residualMv: number
  /** 0–1. */
  weight: number
  /** It lies far from all others. */
  doubted: boolean
  sinceBreak: boolean
}

/** Work after which the same water may show another ORP, or a step that nobody wrote down (`kind` null). */
export interface BreakPoint {
  atMs: number
  kind: ProbeWorkKind | null
  /** By how much the pairs say that ORP stepped; null where they do not tell. */
  mv: Interval | null
}

export interface SetPointView extends SetPointAdvice {
  targetMgL: number
  /** A finding says that ORP or its set point no longer fits; without one a move is worth no word of command. */
  urgent: boolean
  /** Today's step, mV; null when it is not to be moved. */
  byMv: number | null
  /** Set points as known over time, oldest first. */
  history: SetPointChange[]
  /** Moves that somebody logged. */
  logged: SetPointChange[]
  cautions: CautionKey[]
}

export interface RedoxDriftView extends RedoxDrift {
  /** What came of it, in a sentence. */
  told: Phrase
}

type PhProbeShown = Omit<PhProbeAgreement, 'slopeSign' | 'newest'>

export interface PhProbeView extends PhProbeShown {
  told: Phrase
  /** Probe and test kit may part by so much. */
  tolerated: number
  gaps: PhGap[]
  /** After these the probe shows what it was told to. */
  calibratedMs: number[]
}

interface Given {
  record: RedoxRecord
  assessment: RedoxAssessment
  aim: SetPointAim
  /** Moves of the ORP set point that were logged, oldest first. */
  logged: readonly SetPointChange[]
  /** A channel carries ORP. */
  showsOrp: boolean
  /** A finding is open that says that ORP or its set point no longer fits. */
  urgent: boolean
}

export function redoxView({ record, assessment, aim, logged, showsOrp, urgent }: Given): RedoxView {
  const { model, advice, drift, phProbe } = assessment
  const breaks = breaksOf(record, model)
  return {
    atMs: model.atMs,
    basis: basisOf(record, model),
    missing: missingOf(record, assessment, showsOrp),
    relation: relationOf(model, aim, untestedBy(record, model.atMs), drift.sinceMs, lastBreakOf(breaks)),
    breaks,
    setPoint: {
      ...advice,
      reasons: urgent ? advice.reasons : withoutCall(advice),
      targetMgL: aim.targetMgL,
      urgent,
      byMv: advice.todayMv === null || advice.nowMv === null ? null : advice.todayMv - advice.nowMv,
      history: [...record.setPoints],
      logged: [...logged],
      cautions: advice.action === 'move' ? ['localCodeFirst', 'retestBeforeBathers'] : ['localCodeFirst'],
    },
    drift: { ...drift, told: driftTold(drift, model), reasons: driftReasons(drift, model) },
    phProbe: {
      ...shownOf(phProbe),
      told: phTold(phProbe, model.atMs),
      reasons: phReasons(phProbe, model.atMs),
      tolerated: PH_APART,
      gaps: phGaps(record, model.atMs),
      calibratedMs: record.work.filter(({ kind }) => PH_STARTS_ANEW.includes(kind)).map(({ atMs }) => atMs),
    },
  }
}

/** Why a move would be right, without the call to make it: what is said of the step gives way to what is known. */
function withoutCall({ action, todayMv, changed, reasons }: SetPointAdvice): readonly Phrase[] {
  if (action !== 'move' || todayMv === null) return reasons
  const main = changed?.parts.find(({ factor }) => factor === changed.main)
  const known = main ? reasons.findIndex(({ text }) => text === FACTOR_WORDS[main.factor](main).text) : -1
  return [
    say(
      'No finding asks for another set point: it may stay. Whoever moves it all the same goes to {0} today.',
      quantified(todayMv, 'mV'),
    ),
    ...(known < 0 ? [SET_POINT_MOVES] : reasons.slice(known)),
  ]
}

const shownOf = ({ slopeSign: _, newest: __, ...shown }: PhProbeAgreement): PhProbeShown => shown

/** Where nothing can be worked out, with why. */
export const noRedoxView = (nowMs: number, ...missing: Phrase[]): RedoxView => ({
  atMs: nowMs,
  basis: { tests: 0, pairs: 0, hours: 0, work: 0, fromMs: null },
  missing,
  relation: null,
  breaks: [],
  setPoint: null,
  drift: null,
  phProbe: null,
})

function basisOf({ pairs, hours, work }: RedoxRecord, { pairsUsed }: RedoxModel): RedoxBasis {
  const first = [pairs[0]?.atMs, hours[0]?.hourMs, work[0]?.atMs].filter((atMs) => atMs !== undefined)
  return {
    tests: pairs.length,
    pairs: pairsUsed,
    hours: hours.length,
    work: work.length,
    fromMs: first.length > 0 ? Math.min(...first) : null,
  }
}

/** What a person could add so that more can be told. */
function missingOf(record: RedoxRecord, { model, advice }: RedoxAssessment, showsOrp: boolean): Phrase[] {
  const newest = record.pairs[record.pairs.length - 1]
  return [
    ...(model.pairsUsed > 0
      ? []
      : [
          say(
            'No test kit reading beside an ORP yet: enter a test with the ORP that the display shows at that moment. About one a week ties ORP to the water.',
          ),
        ]),
    ...(showsOrp ? [] : [say('No controller channel carries ORP here: add it to the plant, or load an export.')]),
    ...(newest && record.cyanuricAcidUsed && !newest.test.cyanuricAcidMgL
      ? [say('Cyanuric acid was never tested: without it nobody knows how much chlorine is really free. Test it.')]
      : []),
    ...(advice.nowMv === null
      ? [say('The ORP set point is not known: log it as moved to where it stands, or have the controller report it.')]
      : []),
  ]
}

function relationOf(
  model: RedoxModel,
  aim: SetPointAim,
  untested: TestedFactor[],
  comparedFromMs: number | null,
  lastBreakMs: number | null,
): RelationView | null {
  const { water, oxidant, correlation, slopeMv, phMv, noiseMv } = model
  if (!water) return null
  return {
    oxidant,
    correlation,
    told: correlationTold(model),
    slopeMv,
    phMv,
    noiseMv,
    water,
    untested,
    curve: curveOf(model, water, aim.targetMgL),
    points: pointsOf(model, water, comparedFromMs, lastBreakMs),
    comparedFromMs,
    lastBreakMs,
  }
}

function correlationTold({ correlation, pairsUsed, slopeMv, oxidant }: RedoxModel): Phrase {
  const what = oxidant === 'chlorine' ? 'hypochlorous acid' : oxidant === 'bromine' ? 'bromine' : 'chlorine dioxide'
  const count = quantified(pairsUsed, 'count')
  if (correlation === 'usable') {
    return say(
      `{0} pairs of test and ORP show that ORP follows: {1} for ten times the ${what}, between {2} and {3}.`,
      count,
      quantified(slopeMv.value, 'mV'),
      quantified(slopeMv.low, 'mV'),
      quantified(slopeMv.high, 'mV'),
    )
  }
  if (correlation === 'none') {
    return say(
      'In {0} pairs of test and ORP there is no usable correlation: ORP does not tell what this water holds.',
      count,
    )
  }
  if (pairsUsed === 0) return say('No pair of test and ORP yet: the curve is theory alone, and its band is wide.')
  return say(
    pairsUsed === 1
      ? 'One pair of test and ORP cannot show by itself how ORP follows: theory carries it.'
      : '{0} pairs of test and ORP do not show by themselves how ORP follows, because they are few or much alike: theory carries them.',
    count,
  )
}

/** Readings that a curve is sampled at, a twentieth apart. */
const READINGS_MGL = Array.from({ length: 120 }, (_, step) => 0.02 * 10 ** (step / 40))
/** How far beyond the pairs it is drawn, as a factor. */
const BEYOND = 1.5

function curveOf(model: RedoxModel, water: RedoxWater, targetMgL: number): CurvePoint[] {
  const acidOf = (sanitizerMgL: number) => 10 ** logAcidOf(model.oxidant, { ...water, sanitizerMgL })
  const drawn = [acidOf(targetMgL), ...model.points.map(({ logAcid }) => 10 ** logAcid)]
  const [least, most] = [Math.min(...drawn) / BEYOND, Math.max(...drawn) * BEYOND]
  return READINGS_MGL.flatMap((sanitizerMgL) => {
    const acidMgL = acidOf(sanitizerMgL)
    const shown = sanitizerMgL >= LEAST_SANITIZER_MGL[model.oxidant] && acidMgL >= least && acidMgL <= most
    return shown ? [{ acidMgL, sanitizerMgL, orpMv: expectedOrp(model, { ...water, sanitizerMgL }) }] : []
  })
}

function pointsOf(
  model: RedoxModel,
  water: RedoxWater,
  comparedFromMs: number | null,
  lastBreakMs: number | null,
): PairPoint[] {
  const { points } = model
  const then = points.find(({ atMs }) => atMs === comparedFromMs)
  const last = points[points.length - 1]
  return points.map((point) => {
    const { atMs, orpMv, logAcid, weight, expectedSd } = point
    const compared = then && last && atMs >= then.atMs
    const value = compared ? expectation(model, point.water).value + then.offsetMv - last.offsetMv : point.expectedMv
    return {
      atMs,
      sanitizerMgL: point.water.sanitizerMgL,
      ph: point.water.ph,
      acidMgL: 10 ** logAcid,
      orpMv,
      besideCurveMv: orpMv + shift(model, logAcid, point.water, water),
      expectedMv: { value, low: value - Z_90 * expectedSd, high: value + Z_90 * expectedSd },
      residualMv: orpMv - value,
      weight,
      doubted: weight < DOUBTED_WEIGHT,
      sinceBreak: lastBreakMs === null || atMs >= lastBreakMs,
    }
  })
}

/** By how much the same acid stands elsewhere in another water. */
function shift(model: RedoxModel, logAcid: number, from: RedoxWater, to: RedoxWater): number {
  const at = (water: RedoxWater) => {
    const [decades, ...rest] = rowOf(logAcid, water, ORP_KNOWN_IN)
    return formOf(model).expect(decades, rest, model.posterior.mean).value
  }
  return at(to) - at(from)
}

/** Work that may step the ORP by less than this is no break point. */
const LEAST_STEP_MV = 1.5

function breaksOf({ work }: RedoxRecord, { steps }: RedoxModel): BreakPoint[] {
  const logged = work
    .filter(({ kind }) => ORP_MAY_STEP_MV[kind] >= LEAST_STEP_MV)
    .map(({ kind, atMs }: ProbeWork): BreakPoint => {
      const step = steps.find((one) => one.work === kind && atMs >= one.afterMs && atMs <= one.atMs)
      return { atMs, kind, mv: step?.mv ?? null }
    })
  const silent = steps.filter((step) => step.work === null).map(({ atMs, mv }) => ({ atMs, kind: null, mv }))
  return [...logged, ...silent].sort((a, b) => a.atMs - b.atMs)
}

/** After these the ORP of before is another's. */
const ANEW: readonly (ProbeWorkKind | null)[] = ['orpProbeReplaced', 'orpProbeCleaned', 'controllerSwapped', null]
const lastBreakOf = (breaks: readonly BreakPoint[]) =>
  breaks.findLast(({ kind, mv }) => ANEW.includes(kind) || mv !== null)?.atMs ?? null

/** What was last tested longer ago than this tells how it was, not how it is. Judgement. */
const TELLS_OF_NOW_MS = 14 * DAY_MS

const isOld = (testedMs: number | undefined, nowMs: number) =>
  testedMs !== undefined && nowMs - testedMs > TELLS_OF_NOW_MS

/** Words for now, or for then where the newest test is old. */
function told(testedMs: number | undefined, nowMs: number, now: string, then: string, ...quantities: Quantified[]) {
  if (testedMs === undefined || !isOld(testedMs, nowMs)) return say(now, ...quantities)
  const ago = quantified(Math.round((nowMs - testedMs) / DAY_MS), 'd')
  return say(`When last tested, {${quantities.length}} ago, ${then}`, ...quantities, ago)
}

/** What the probe shows now no old test tells. */
function driftReasons({ reasons, attribution }: RedoxDrift, { points, atMs }: RedoxModel): readonly Phrase[] {
  const part = attribution?.parts.find(({ factor }) => factor === 'unexplained')
  if (!part || !isOld(points[points.length - 1]?.atMs, atMs)) return reasons
  const { text } = FACTOR_WORDS.unexplained(part)
  return reasons.filter((reason) => reason.text !== text)
}

function driftTold({ alarm, residualMv, shape, attribution }: RedoxDrift, { points, atMs }: RedoxModel): Phrase {
  if (!residualMv) return say('Too few pairs since the last break to tell whether ORP still means what it meant.')
  const { value, low, high } = residualMv
  const words = (now: string, then: string) =>
    told(points[points.length - 1]?.atMs, atMs, now, then, quantified(Math.abs(value), 'mV'))
  const way = value < 0 ? 'less' : 'more'
  if (alarm) {
    const came = shape === 'step' ? ', at once' : shape === 'slope' ? ', and it goes on' : ''
    const went = shape === 'step' ? ', at once' : shape === 'slope' ? ', and it went on' : ''
    return words(
      `In the same water ORP now shows {0} ${way} than it did${came}.`,
      `ORP showed {0} ${way} in the same water than before${went}.`,
    )
  }
  const none = Math.round(value) === 0
  const doubtful = low <= 0 && high >= 0
  const main = attribution?.main ?? 'unexplained'
  if (main !== 'unexplained' && (none || doubtful))
    return words(
      'The probe shows what it did in the same water, as far as the pairs can tell; it is the water that changed.',
      'the probe showed what it did in the same water, as far as the pairs can tell; it was the water that had changed.',
    )
  if (none) return words('ORP still means what it meant.', 'ORP still meant what it had meant.')
  return doubtful
    ? words(
        `ORP still means what it meant, as far as the pairs can tell: {0} ${way} in the same water is within doubt.`,
        `ORP still meant what it had meant, as far as the pairs can tell: {0} ${way} in the same water was within doubt.`,
      )
    : words(
        `In the same water ORP shows {0} ${way} than it did: too little to act on, or not yet beyond doubt.`,
        `ORP showed {0} ${way} in the same water than before: too little to act on, or not yet beyond doubt.`,
      )
}

/** What reads as nothing in tenths. */
const HARDLY_PH = 0.05

function phTold({ state, offsetPh, pairsUsed, newest }: PhProbeAgreement, nowMs: number): Phrase {
  if (!offsetPh) return say('Nothing tells how pH probe and test kit stand to each other.')
  const way = offsetPh.value < 0 ? 'under' : 'over'
  const words = (now: string, then: string) =>
    told(
      newest?.testedAtMs,
      nowMs,
      now,
      then,
      quantified(pairsUsed, 'count'),
      quantified(Math.abs(offsetPh.value), 'pH'),
    )
  if (state === 'agrees' && Math.abs(offsetPh.value) < HARDLY_PH)
    return words('By {0} tests display and test kit agree.', 'display and test kit agreed, by {0} tests.')
  const agree = state === 'agrees' ? ': they agree' : ''
  const agreed = state === 'agrees' ? ': they agreed' : ''
  return words(
    `By {0} tests the display stands {1} ${way} the test kit${agree}.`,
    `the display stood {1} ${way} the test kit, by {0} tests${agreed}.`,
  )
}

/** That they agree, the first of its reasons, is told of then where the newest test is old. */
const phReasons = ({ state, reasons, newest }: PhProbeAgreement, nowMs: number): readonly Phrase[] =>
  state === 'agrees' && isOld(newest?.testedAtMs, nowMs) ? reasons.slice(1) : reasons
