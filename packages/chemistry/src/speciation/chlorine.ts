import { MOLAR_MASS } from '../constants.ts'
import { type CyanurateConstants, cyanurateConstants } from '../equilibria/cyanurate.ts'
import { pkaHypochlorous } from '../equilibria/hypochlorous.ts'
import { within } from '../errors.ts'

/** Combined chlorine, mg/L as Cl2: total less free, and 0 when a test reads free a little over total.
 * @param totalChlorineMgL 0 or more; @param freeChlorineMgL 0 or more; negative or not a number → OutOfRange */
export function combinedChlorine(totalChlorineMgL: number, freeChlorineMgL: number): number {
  within('total chlorine in mg/L', totalChlorineMgL, 0, 1e4)
  within('free chlorine in mg/L', freeChlorineMgL, 0, 1e4)
  return Math.max(0, totalChlorineMgL - freeChlorineMgL)
}

/** Where the free chlorine of a test kit really is, each in mg/L as Cl2; the three add up to the free chlorine. */
export interface ChlorineSpecies {
  hypochlorousMgL: number
  hypochloriteMgL: number
  boundToCyanurateMgL: number
}

/**
 * Free chlorine shared among hypochlorous acid, hypochlorite and the chlorinated cyanurates: all published equilibria
 * solved together on both mass balances, as an ideal solution ([H+] = 10^−pH).
 * @param water free chlorine mg/L as Cl2, 0–200; cyanuric acid mg/L, 0–1000; pH 5–10; temperature 0–50 °C; else OutOfRange
 * @param constants the equilibrium constants; by default O'Brien's, moved to the temperature
 * @source obrien1974, morris1966; wahman2018 and wahmanAlexander2019 for the move from 25 °C
 */
export function chlorineSpecies(
  water: { freeChlorineMgL: number; cyanuricAcidMgL: number; ph: number; tempC: number },
  constants: CyanurateConstants = cyanurateConstants(water.tempC),
): ChlorineSpecies {
  within('free chlorine in mg/L', water.freeChlorineMgL, 0, 200)
  within('cyanuric acid in mg/L', water.cyanuricAcidMgL, 0, 1000)
  within('pH', water.ph, 5, 10)
  const hypochloritePerAcid = 10 ** (water.ph - pkaHypochlorous(water.tempC))
  const free = water.freeChlorineMgL / MOLAR_MASS.chlorine / 1000
  const cyanurate = water.cyanuricAcidMgL / MOLAR_MASS.cyanuricAcid / 1000
  const acid = solveAcid(free, cyanurate, 1 + hypochloritePerAcid, shapeOf(constants, water.ph))
  const hypochlorousMgL = acid * MOLAR_MASS.chlorine * 1000
  const hypochloriteMgL = hypochlorousMgL * hypochloritePerAcid
  return {
    hypochlorousMgL,
    hypochloriteMgL,
    boundToCyanurateMgL: Math.max(0, water.freeChlorineMgL - hypochlorousMgL - hypochloriteMgL),
  }
}

/** Cyanurate with 0, 1, 2, 3 chlorines, each as a multiple of [H3Cy]·[HOCl]^n at one pH. */
type Shape = readonly [number, number, number, number]

function shapeOf(constants: CyanurateConstants, ph: number): Shape {
  const h = 10 ** -ph
  const k = (pk: number) => 10 ** -pk
  const h2cy = k(constants.pk6) / h
  const hcy = (h2cy * k(constants.pk10)) / h
  const hclcy = h2cy / k(constants.pk9a)
  const cl2cy = hclcy / k(constants.pk7a)
  const hcl2cy = (cl2cy * h) / k(constants.pk2)
  return [
    1 + h2cy + hcy + (hcy * k(constants.pk12)) / h,
    hclcy + (hclcy * h) / k(constants.pk4) + (hclcy * k(constants.pk8)) / h,
    cl2cy + hcl2cy,
    hcl2cy / k(constants.pk1a),
  ]
}

/** [HOCl] in mol/L, where free chlorine = [HOCl]·dissociated + bound([HOCl]). The right side grows with [HOCl], so that
 * the root lies between 0 and free/dissociated: Newton steps, halved back into the bracket when they leave it. */
function solveAcid(free: number, cyanurate: number, dissociated: number, shape: Shape): number {
  if (free === 0) return 0
  let low = 0
  let high = free / dissociated
  if (cyanurate === 0) return high
  // nearly all is bound by the first chlorine when there is little: a start that is right to some per cent
  let acid = free / (dissociated + (cyanurate * shape[1]) / shape[0])
  for (let step = 0; step < 100; step++) {
    const { bound, slope } = boundChlorine(acid, cyanurate, shape)
    const excess = acid * dissociated + bound - free
    if (excess > 0) high = acid
    else low = acid
    const newton = acid - excess / (dissociated + slope)
    const next = newton > low && newton < high ? newton : (low + high) / 2
    if (Math.abs(next - acid) <= 1e-12 * next || high - low <= 1e-15 * high) return next
    acid = next
  }
  return acid
}

function boundChlorine(acid: number, cyanurate: number, [none, one, two, three]: Shape) {
  const first = one * acid
  const second = two * acid * acid
  const third = three * acid * acid * acid
  const all = none + first + second + third
  const chlorines = first + 2 * second + 3 * third
  // d(bound)/d(acid) = cyanurate · variance of the number of chlorines / acid
  const squares = first + 4 * second + 9 * third
  const mean = chlorines / all
  return { bound: cyanurate * mean, slope: (cyanurate * (squares / all - mean * mean)) / acid }
}
