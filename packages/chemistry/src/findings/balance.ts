import { saturationIndex } from '../balance/saturation.ts'
import { inRange } from '../errors.ts'
import type { CautionKey, EvidenceLine, Finding, Phrase } from '../finding.ts'
import type { Measured } from '../snapshot.ts'
import { carbonateAlkalinity } from '../speciation/carbonate.ts'
import type { Parameter } from '../vocabulary.ts'
import type { BufferedWater } from '../water.ts'
import { type Facts, isOld } from './facts.ts'
import { solidsOf, testedOrProbed } from './known.ts'
import { controllerValue, judged, manualValue, type Spoken, type Value } from './limits.ts'
import { say, shown } from './make.ts'
import { isPhTrusted } from './probe.ts'

export function balanceFindings(facts: Facts): Finding[] {
  return [
    ...ph(facts),
    ...judged(facts, ALKALINITY, [manualValue(facts, 'totalAlkalinityMgL')]),
    ...judged(facts, CALCIUM, [manualValue(facts, 'calciumHardnessMgL')]),
    ...temperature(facts),
    ...saturation(facts),
  ]
}

const DOSED: CautionKey[] = [
  'localCodeFirst',
  'protectiveEquipment',
  'acidIntoWater',
  'neverTogether',
  'retestBeforeBathers',
]

const probeRule = (facts: Facts): Phrase[] =>
  facts.latest?.ph == null
    ? []
    : [say('Leave the pH set point where it is. If display and test kit part, calibrate the pH probe.')]

const PH: Spoken = {
  thing: 'ph',
  name: 'pH',
  unit: 'pH',
  low: {
    kind: 'phLow',
    advice: (facts) => [
      say('Stop the acid feed and look for the cause: injector that siphons, feed stuck on, acid dosed by hand.'),
      say('Raise pH in small steps: aerate, or a base by its label, with a retest between.'),
      ...probeRule(facts),
    ],
    cautions: DOSED,
  },
  high: {
    kind: 'phHigh',
    advice: (facts) => [
      facts.snapshot.feeders.some(({ role, kind }) => role === 'ph' && kind === 'co2')
        ? say(
            'Look at the carbon dioxide first: cylinder empty or shut, regulator, diffuser. Ventilate: it chokes unseen.',
          )
        : say('Look at the acid drum and its pump first: empty, lost prime, worn tube, blocked injector.'),
      say('Lower pH in small steps, by the product’s label, with a retest between.'),
      ...probeRule(facts),
    ],
    cautions: DOSED,
  },
}

function ph(facts: Facts): Finding[] {
  const tested = manualValue(facts, 'ph')
  // a probe that is known to be off adds nothing to the test that showed it
  const byController = isPhTrusted(facts) ? controllerValue(facts, 'ph', 'ph', tested?.atMs ?? null) : null
  return judged(facts, PH, [tested, byController])
}

const ALKALINITY: Spoken = {
  thing: 'totalAlkalinityMgL',
  name: 'Total alkalinity',
  unit: 'mg/L',
  low: {
    kind: 'alkalinityLow',
    advice: () => [say('Raise it with sodium bicarbonate, in parts, before anything is done about pH.')],
    cautions: DOSED,
  },
  high: {
    kind: 'alkalinityHigh',
    advice: () => [
      say('Lower it with acid in small parts and aerate between: acid takes alkalinity, air brings pH back.'),
      say('If fill water brings it, more fresh water will not lower it.'),
    ],
    cautions: DOSED,
  },
}
const CALCIUM: Spoken = {
  thing: 'calciumHardnessMgL',
  name: 'Calcium hardness',
  unit: 'mg/L',
  low: {
    kind: 'calciumLow',
    advice: () => [say('Raise it with calcium chloride, in parts; it warms the water that it is dissolved in.')],
    cautions: DOSED,
  },
  high: {
    kind: 'calciumHigh',
    advice: () => [say('Nothing that is dosed lowers it: replace part of the water with softer water.')],
    cautions: ['localCodeFirst', 'retestBeforeBathers'],
  },
}
const TEMPERATURE: Spoken = {
  thing: 'tempC',
  name: 'Water temperature',
  unit: '°C',
  high: {
    kind: 'temperatureHigh',
    advice: () => [
      say(
        'Keep bathers out until it has cooled: hot water harms children, pregnant women and people with heart disease first.',
      ),
      say('Turn the heater down, check its thermostat and high-limit switch, and measure again with a thermometer.'),
    ],
    cautions: ['localCodeFirst'],
  },
}

function temperature(facts: Facts): Finding[] {
  const tested = manualValue(facts, 'tempC')
  return judged(facts, TEMPERATURE, [tested, controllerValue(facts, 'tempC', 'tempC', tested?.atMs ?? null)])
}

/** The four that move the index, and what was measured of each. */
interface Balance {
  ph: Measured
  tempC: Measured
  totalAlkalinity: Measured
  calcium: Measured
}

// where pools are usually held; common practice, no source
const USUAL = { ph: 7.4, alkalinityMgL: 80, calciumMgL: 200 } as const

const balanced = (direction: 'waterCorrosive' | 'waterScaling'): NonNullable<Spoken['low']> => ({
  kind: direction,
  advice: (facts) => {
    const { tests } = facts.snapshot
    const corrosive = direction === 'waterCorrosive'
    const off = (measured: Measured | undefined, usual: number) =>
      measured !== undefined && (corrosive ? measured.value < usual : measured.value > usual)
    const hardness = off(tests.calciumHardnessMgL, USUAL.calciumMgL)
    const names = [
      ...(off(tests.ph, USUAL.ph) ? ['pH'] : []),
      ...(off(tests.totalAlkalinityMgL, USUAL.alkalinityMgL) ? ['total alkalinity'] : []),
      ...(hardness ? ['calcium hardness'] : []),
    ].join(', ')
    return [
      say(`Such water ${corrosive ? 'dissolves plaster, grout and metal' : 'forms scale'}.`),
      ...(names
        ? [
            say(
              `What stands ${corrosive ? 'lower' : 'higher'} than pools are usually held: ${names}. Begin with what is outside its own range, in small steps, and retest.`,
            ),
          ]
        : []),
      ...(hardness && !corrosive ? [say('Hardness falls only with softer fresh water.')] : []),
    ]
  },
  cautions: DOSED,
})
const SATURATION: Spoken = {
  thing: 'saturationIndex',
  name: 'The saturation index',
  unit: 'SI',
  low: balanced('waterCorrosive'),
  high: balanced('waterScaling'),
}

const RESTS_ON = ['ph', 'tempC', 'totalAlkalinityMgL', 'calciumHardnessMgL'] as const

/** The saturation index as far as it is known, as of the newest of what it rests on. */
export function saturationNow(facts: Facts) {
  const known = knownBalance(facts)
  const index = known && indexOf(facts, known)
  if (!known || index === null) return null
  const times = Object.values(known).map((measured: Measured) => measured.atMs)
  const old = RESTS_ON.some((parameter) => {
    const tested = facts.snapshot.tests[parameter]
    return tested !== undefined && isOld(facts, parameter, tested)
  })
  const value: Value = {
    // what a sentence shows is what is judged; the test kit does not bear more figures
    value: Math.round(index.value * 100) / 100,
    atMs: Math.max(...times),
    oldestMs: Math.min(...times),
    source: 'derived',
    old,
  }
  return { known, index, value }
}

function saturation(facts: Facts): Finding[] {
  const now = saturationNow(facts)
  if (!now) return []
  const { value, index } = now
  const { ph, tempC, totalAlkalinity, calcium } = now.known
  return judged(facts, SATURATION, [value], () => [
    shown('pH', ph.value, 'pH', ph.atMs, sourceOf(facts, 'ph', ph)),
    shown('Water temperature', tempC.value, '°C', tempC.atMs, sourceOf(facts, 'tempC', tempC)),
    shown('Total alkalinity', totalAlkalinity.value, 'mg/L', totalAlkalinity.atMs, 'test'),
    shown('Alkalinity that is carbonate', index.carbonateAlkalinityMgL, 'mg/L', totalAlkalinity.atMs, 'derived'),
    shown('Calcium hardness', calcium.value, 'mg/L', calcium.atMs, 'test'),
    index.solids,
  ])
}

const sourceOf = (facts: Facts, parameter: Parameter, measured: Measured): EvidenceLine['source'] =>
  facts.snapshot.tests[parameter] === measured ? 'test' : 'controller'

function knownBalance(facts: Facts): Balance | null {
  const { tests } = facts.snapshot
  const ph = testedOrProbed(facts, 'ph')
  const tempC = testedOrProbed(facts, 'tempC')
  const { totalAlkalinityMgL: totalAlkalinity, calciumHardnessMgL: calcium } = tests
  return ph && tempC && totalAlkalinity && calcium ? { ph, tempC, totalAlkalinity, calcium } : null
}

/** The index, or null where the water lies outside what the constants were made for. */
function indexOf(facts: Facts, { ph, tempC, totalAlkalinity, calcium }: Balance) {
  const solids = solidsOf(facts)
  const { cyanuricAcidMgL, freeChlorineMgL } = facts.snapshot.tests
  const water: BufferedWater = {
    ph: ph.value,
    tempC: tempC.value,
    totalAlkalinityMgL: totalAlkalinity.value,
    calciumHardnessMgL: calcium.value,
    cyanuricAcidMgL: cyanuricAcidMgL?.value ?? 0,
    boronMgL: 0,
    tdsMgL: solids.quantity.value,
    freeChlorineMgL: freeChlorineMgL?.value ?? 0,
  }
  const value = inRange(() => saturationIndex(water))
  return value === null ? null : { value, carbonateAlkalinityMgL: carbonateAlkalinity(water), solids }
}
