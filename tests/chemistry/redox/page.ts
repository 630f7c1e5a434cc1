import { assessRedox, type Interval, type RedoxAssessment, renderPhrase } from '@sightglass/chemistry'
import { BELIEFS, type Belief } from '../../../packages/chemistry/src/redox/theory.ts'
import { ORP_MAY_STEP_MV } from '../../../packages/chemistry/src/redox/work.ts'
import { daysAgo, HOUR, pair, record } from './support.ts'

const round = (value: number, decimals: number) => Number(value.toFixed(decimals)).toString().replace('-', '−')
const between = ({ low, high }: Interval, decimals: number) => `${round(low, decimals)} to ${round(high, decimals)}`

/** What is believed before any pair, as it stands on the page. */
export const beliefRows = (): string[] => {
  const cell = ({ mean, sd }: Belief) => `${round(mean, 1)} ± ${round(sd, 1)}`
  const names = {
    offset: 'ORP in the known water, mV',
    slope: 'ten times the acid (the reading), mV',
    ph: 'one pH more, mV',
    temp: 'one °C more, mV',
    solids: 'ten times the dissolved solids, mV',
  } as const
  return (Object.keys(names) as (keyof typeof names)[]).map(
    (key) => `| ${names[key]} | ${cell(BELIEFS.chlorine[key])} | ${cell(BELIEFS.bromine[key])} |`,
  )
}

/** By how much each work may move the offset. */
export const workRows = (): string[] => {
  const names = {
    orpProbeReplaced: 'ORP probe replaced',
    controllerSwapped: 'controller swapped',
    orpProbeCleaned: 'ORP probe cleaned',
    flowCellServiced: 'flow cell serviced',
    waterReplaced: 'water replaced',
    stabilizerAdded: 'stabilizer added',
    phProbeReplaced: 'pH probe replaced',
    phProbeCleaned: 'pH probe cleaned',
    phCalibrated: 'pH probe calibrated',
  } as const satisfies Record<keyof typeof ORP_MAY_STEP_MV, string>
  return (Object.keys(names) as (keyof typeof names)[]).map(
    (kind) => `| ${names[kind]} | ${round(ORP_MAY_STEP_MV[kind], 1)} |`,
  )
}

/** The worked example: days before the last visit, free chlorine, pH, cyanuric acid, °C, ORP on the display. */
const VISITS = [
  [56, 2.6, 7.4, 30, 26, 721],
  [49, 2.4, 7.5, 30, 26.5, 719],
  [42, 2.9, 7.4, 35, 27, 720],
  [35, 3.2, 7.4, 45, 27.5, 721],
  [28, 3.4, 7.5, 45, 28, 720],
  [21, 3.9, 7.4, 55, 28, 720],
  [14, 4.3, 7.4, 60, 28, 721],
  [7, 4.4, 7.5, 65, 28, 719],
  [0, 4.9, 7.4, 70, 28, 720],
] as const
const TARGET_MGL = 2.5
const SET_MV = 720

export function example(): RedoxAssessment {
  const pairs = VISITS.map(([ago, sanitizerMgL, ph, cyanuricAcidMgL, tempC, orpMv]) =>
    pair(daysAgo(ago), { sanitizerMgL, ph, cyanuricAcidMgL, tempC, tdsMgL: 1500 }, { orpMv }),
  )
  const given = record({ pairs, cyanuricAcidUsed: true, setPoints: [{ atMs: daysAgo(90), orpMv: SET_MV }] })
  const aim = { targetMgL: TARGET_MGL, orpMinMv: null, orpMaxMv: null, phSetPoint: 7.4 }
  return assessRedox(given, aim, daysAgo(0) + HOUR)
}

/** Each visit, with the acid and what all other visits expect of its ORP. */
export const exampleRows = ({ model }: RedoxAssessment = example()): string[] =>
  VISITS.map(([ago, sanitizerMgL, ph, cyanuricAcidMgL, tempC, orpMv], i) => {
    const point = model.points[i]
    if (!point) throw new Error(`the visit ${ago} days before is no point`)
    const cells = [ago, sanitizerMgL, ph, cyanuricAcidMgL, tempC, orpMv].map(String)
    return `| ${[...cells, round(10 ** point.logAcid, 4), round(point.expectedMv, 0)].join(' | ')} |`
  })

const FACTORS = {
  stabilizer: 'cyanuric acid',
  ph: 'pH',
  temperature: 'temperature',
  dissolvedSolids: 'dissolved solids',
  unexplained: 'unexplained',
} as const

export function exampleLines({ model, advice }: RedoxAssessment = example()): string[] {
  const { holdsTargetMv, nowMeansMgL, changed } = advice
  if (!holdsTargetMv || !nowMeansMgL || !changed) throw new Error('the example tells no set point')
  const parts = changed.parts.map(({ factor, mv }) => `${FACTORS[factor]} ${round(mv.value, 1)}`)
  return [
    `- slope: ${round(model.slopeMv.value, 1)} mV for ten times the acid (${between(model.slopeMv, 0)}), pH ${round(model.phMv.value, 0)} mV (${between(model.phMv, 0)})`,
    `- the set point of ${SET_MV} mV now holds ${round(nowMeansMgL.value, 1)} mg/L (${between(nowMeansMgL, 1)})`,
    `- ${TARGET_MGL} mg/L would stand at ${round(holdsTargetMv.value, 0)} mV (${between(holdsTargetMv, 0)})`,
    `- what moved it since it was last right: ${parts.join(', ')} mV; together ${round(changed.totalMv.value, 1)}`,
    ...advice.reasons.slice(0, 4).map((reason) => `> ${renderPhrase(reason, 'metric')}`),
  ]
}

/** By hand: the slope times the decades between the acid of the last visit and that of the target, both from the page. */
export function byHand({ model, advice }: RedoxAssessment = example()) {
  const last = model.points[model.points.length - 1]
  if (!last) throw new Error('the example has no points')
  // at one water the acid goes nearly as the reading
  const decades = Math.log10(TARGET_MGL / (advice.nowMeansMgL?.value ?? Number.NaN))
  return { decades, setMv: SET_MV + model.slopeMv.value * decades }
}
