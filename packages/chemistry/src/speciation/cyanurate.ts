import type { CyanurateConstants } from '../equilibria/cyanurate.ts'
import { powerOfTen } from './powerOfTen.ts'

/** Equilibrium constants of the chlorinated cyanurates as plain numbers, mol/L. */
export interface CyanurateK {
  k1a: number
  k2: number
  k4: number
  k6: number
  k7a: number
  k8: number
  k9a: number
  k10: number
  k12: number
}

/** At infinite dilution, which is also what an ideal solution has. */
export function cyanurateK(pk: CyanurateConstants): CyanurateK {
  return {
    k1a: powerOfTen(-pk.pk1a),
    k2: powerOfTen(-pk.pk2),
    k4: powerOfTen(-pk.pk4),
    k6: powerOfTen(-pk.pk6),
    k7a: powerOfTen(-pk.pk7a),
    k8: powerOfTen(-pk.pk8),
    k9a: powerOfTen(-pk.pk9a),
    k10: powerOfTen(-pk.pk10),
    k12: powerOfTen(-pk.pk12),
  }
}

/** The same for concentrations beside the activity of H+.
 * @param charged activity coefficient of an ion of charge 1; by Davies its z² th power is that of charge z
 * @param neutral that of an uncharged species */
export function cyanurateKIn(k: CyanurateK, charged: number, neutral: number): CyanurateK {
  const first = neutral / charged
  const second = 1 / charged ** 3
  return {
    k1a: k.k1a / neutral,
    k2: k.k2 * first,
    k4: k.k4 * first,
    k6: k.k6 * first,
    k7a: k.k7a / neutral,
    k8: k.k8 * second,
    k9a: k.k9a / neutral,
    k10: k.k10 * second,
    k12: k.k12 / charged ** 5,
  }
}

/** Cyanurate with 0, 1, 2, 3 chlorines, each as a multiple of [H3Cy]·[HOCl]^n at one pH: all of it, and its charge. */
export interface CyanurateShape {
  all: readonly [none: number, one: number, two: number, three: number]
  charge: readonly [none: number, one: number, two: number]
}

/** @param hydrogen activity of H+ */
export function cyanurateShape(k: CyanurateK, hydrogen: number): CyanurateShape {
  const h2cy = k.k6 / hydrogen
  const hcy = (h2cy * k.k10) / hydrogen
  const cy = (hcy * k.k12) / hydrogen
  const hclcy = h2cy / k.k9a
  const clcy = (hclcy * k.k8) / hydrogen
  const cl2cy = hclcy / k.k7a
  const hcl2cy = (cl2cy * hydrogen) / k.k2
  return {
    all: [1 + h2cy + hcy + cy, hclcy + (hclcy * hydrogen) / k.k4 + clcy, cl2cy + hcl2cy, hcl2cy / k.k1a],
    charge: [h2cy + 2 * hcy + 3 * cy, hclcy + 2 * clcy, cl2cy],
  }
}

/** [HOCl] in mol/L, where free chlorine = [HOCl]·dissociated + bound([HOCl]). The right side grows with [HOCl], so that
 * the root lies between 0 and free/dissociated: Newton steps, halved back into the bracket when they leave it. */
export function hypochlorousAcid(free: number, cyanurate: number, dissociated: number, shape: CyanurateShape): number {
  if (free === 0) return 0
  let low = 0
  let high = free / dissociated
  if (cyanurate === 0) return high
  // nearly all is bound by the first chlorine when there is little: a start that is right to some per cent
  let acid = free / (dissociated + (cyanurate * shape.all[1]) / shape.all[0])
  for (let step = 0; step < 100; step++) {
    const { bound, slope } = boundChlorine(acid, cyanurate, shape)
    const excess = acid * dissociated + bound - free
    if (excess > 0) high = acid
    else low = acid
    const newton = acid - excess / (dissociated + slope)
    const next = newton > low && newton < high ? newton : (low + high) / 2
    // a Newton step that small has squared its error away
    if (Math.abs(next - acid) <= 1e-7 * next && next === newton) return next
    if (high - low <= 1e-15 * high) return next
    acid = next
  }
  return acid
}

/** Chlorine that cyanurate holds beside that much hypochlorous acid, mol/L. */
export function boundChlorine(acid: number, cyanurate: number, { all: [none, one, two, three] }: CyanurateShape) {
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

/** Charge that cyanurate carries beside that much hypochlorous acid, mol/L: the base that a titration finds. */
export function cyanurateCharge(acid: number, cyanurate: number, { all, charge }: CyanurateShape): number {
  const total = all[0] + acid * (all[1] + acid * (all[2] + acid * all[3]))
  return (cyanurate * (charge[0] + acid * (charge[1] + acid * charge[2]))) / total
}
