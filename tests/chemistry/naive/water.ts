// The equations of docs/chemistry.md written down as they stand there, slowly and with other means than the package: halving only,
// pK instead of constants, every species by its name. What both give alike is at least what the equations say.
import {
  debyeHuckel,
  logHenryCarbonDioxide,
  logK1Carbonic,
  logK2Carbonic,
  logKCalciumCarbonatePair,
  logKCalciumHydrogenCarbonate,
  logKspCalcite,
  logKWater,
  pkaBoric,
  pkaHypochlorous,
  type Water,
} from '@sightglass/chemistry'

const halved = (rises: (x: number) => number, low: number, high: number) => {
  let [left, right] = [low, high]
  for (let round = 0; round < 200; round++) {
    const middle = (left + right) / 2
    if (rises(middle) > 0) right = middle
    else left = middle
  }
  return (left + right) / 2
}

/** log10 of activity coefficients, by charge (Davies), by name, and of what is uncharged. */
function activity({ tempC, calciumHardnessMgL, totalAlkalinityMgL, tdsMgL }: Water) {
  const ca = calciumHardnessMgL / 100.0869 / 1000
  const alk = Math.max(0, totalAlkalinityMgL) / 50.04345 / 1000
  const salts = ca * (40.078 + 2 * 35.453) + alk * (22.98977 + 61.0168)
  const nacl = Math.max(0, (tdsMgL / 1000 - salts) / (22.98977 + 35.453))
  const strength = 0.5 * (4 * ca + (alk + nacl) + (2 * ca + nacl) + alk)
  const { a, b } = debyeHuckel(tempC)
  const root = Math.sqrt(strength)
  const sized = (z: number, size: number, extra = 0) => (-a * z * z * root) / (1 + b * size * root) + extra * strength
  return {
    ca,
    na: alk + nacl,
    davies: (z: number) => -a * z * z * (root / (1 + root) - 0.3 * strength),
    neutral: 0.1 * strength,
    calcium: sized(2, 5, 0.165),
    carbonate: sized(2, 5.4),
    bicarbonate: sized(1, 5.4),
    sodium: sized(1, 4, 0.075),
    proton: sized(1, 9),
  }
}

/** Every species of cyanurate and chlorine, mol/L, at the pH of the water. */
function chlorineOf(water: Water) {
  const { davies, neutral } = activity(water)
  const { ph, tempC } = water
  const away = 1 / (tempC + 273.15) - 1 / 298.15
  // an acid of charge −z that gives off H+: log [base]/[acid] = pH − pK + log γ acid − log γ base
  const gamma = (z: number) => (z === 0 ? neutral : davies(z))
  const baseOver = (pk: number, z: number) => 10 ** (ph - pk + gamma(z) - gamma(z + 1))
  // AClₙ = AClₙ₋₁ + HOCl, both of one charge: what holds one chlorine more, for each mol/L of HOCl
  const withOneMore = (pk: number) => 10 ** (pk + neutral)

  const h3cy = 1
  const h2cy = h3cy * baseOver(6.88 + 1743 * away, 0)
  const hcy = h2cy * baseOver(11.4, 1)
  const cy = hcy * baseOver(13.5, 2)
  const ocl = baseOver(pkaHypochlorous(tempC), 0)
  const cyanuric = water.cyanuricAcidMgL / 129.0746 / 1000
  const free = water.freeChlorineMgL / 70.906 / 1000

  const speciesAt = (hocl: number) => {
    const hclcy = h2cy * hocl * withOneMore(5.62 + 2229 * away)
    const h2clcy = hclcy / baseOver(5.33, 0)
    const clcy = hclcy * baseOver(10.12, 1)
    const cl2cy = hclcy * hocl * withOneMore(4.51 + 2028 * away)
    const hcl2cy = cl2cy / baseOver(3.75, 0)
    const cl3cy = hcl2cy * hocl * withOneMore(1.8)
    const all = h3cy + h2cy + hcy + cy + hclcy + h2clcy + clcy + cl2cy + hcl2cy + cl3cy
    const part = cyanuric / all
    return {
      hocl,
      ocl: ocl * hocl,
      bound: part * (h2clcy + hclcy + clcy + 2 * (hcl2cy + cl2cy) + 3 * cl3cy),
      charge: part * (h2cy + 2 * hcy + 3 * cy + hclcy + 2 * clcy + cl2cy),
    }
  }
  const excess = (hocl: number) => {
    const { ocl, bound } = speciesAt(hocl)
    return hocl + ocl + bound - free
  }
  return speciesAt(free === 0 ? 0 : halved(excess, 0, free))
}

/** What the package tells of a water, by other means; equivalents and mol for each litre. */
export function naively(water: Water) {
  const { ca, na, davies, neutral, calcium, carbonate, bicarbonate, sodium, proton } = activity(water)
  const { ph, tempC } = water
  const chlorine = chlorineOf(water)
  const boron = water.boronMgL / 10.81 / 1000
  const bromine = water.bromineMgL / 159.808 / 1000
  const ionized = (pk: number) => 1 / (1 + 10 ** (pk + davies(1) - neutral - ph))
  const hydroxide = 10 ** (logKWater(tempC) + ph - davies(1)) - 10 ** (-ph - proton)
  const borate = boron * ionized(pkaBoric(tempC))
  const hypohalite = chlorine.ocl + bromine * ionized(8.69)
  const left = water.totalAlkalinityMgL / 50.04345 / 1000 - hydroxide - borate - chlorine.charge

  const carbonatesOf = (hco3: number) => {
    const co3 = hco3 * 10 ** (logK2Carbonic(tempC) + ph + bicarbonate - carbonate)
    const co2 = hco3 * 10 ** (-logK1Carbonic(tempC) - ph + bicarbonate - neutral)
    const nahco3 = na * hco3 * 10 ** (-0.25 + sodium + bicarbonate - neutral)
    const one = hco3 * 10 ** (logKCalciumHydrogenCarbonate(tempC) + calcium + bicarbonate - davies(1))
    const two = co3 * 10 ** (logKCalciumCarbonatePair(tempC) + calcium + carbonate - neutral)
    const freeCa = ca / (1 + one + two)
    return { co2, bicarbonates: hco3 + nahco3 + freeCa * one, carbonates: co3 + freeCa * two, co3, freeCa }
  }
  const alkalinityOf = (hco3: number) => {
    const { bicarbonates, carbonates } = carbonatesOf(hco3)
    return bicarbonates + 2 * carbonates
  }
  const species = carbonatesOf(halved((hco3) => alkalinityOf(hco3) - left, 0, Math.max(0, left)))
  return {
    hydroxide,
    borate,
    cyanurate: chlorine.charge,
    left,
    ...species,
    carbon: species.co2 + species.bicarbonates + species.carbonates,
    base: water.totalAlkalinityMgL / 50.04345 / 1000 + hypohalite,
    carbonDioxidePpm: (1e6 * species.co2) / 10 ** (logHenryCarbonDioxide(tempC) - neutral),
    index: Math.log10(species.freeCa * species.co3) + calcium + carbonate - logKspCalcite(tempC),
  }
}
