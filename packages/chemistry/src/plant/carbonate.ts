import { CYANURIC_ACID_G_MOL } from './constants.ts'

/** What holds the pH of a water at one temperature and salt content. */
export interface Buffer {
  /** Conditional constants: activity of the hydrogen ion, concentrations of the rest. */
  k1: number
  k2: number
  kCyanuric: number
  kWater: number
}

/**
 * Constants of the carbonate system at a temperature.
 * Plummer and Busenberg 1982 for carbonic acid, Davies equation for the salts (ionic strength 2.5e-5 × TDS),
 * calcium carbonate pairs (log K 3.22, PHREEQC's phreeqc.dat at 25 °C) counted with the carbonate,
 * pK 6.88 at 25 °C for cyanuric acid (O'Brien, Morris and Butler 1974) with the slope of Wahman 2018, water from memory.
 */
export function bufferAt(tempC: number, tdsMgL: number, calciumHardnessMgL: number): Buffer {
  const kelvin = tempC + 273.15
  const log = Math.log10(kelvin)
  const logK1 = -356.3094 - 0.06091964 * kelvin + 21834.37 / kelvin + 126.8339 * log - 1684915 / kelvin ** 2
  const logK2 = -107.8871 - 0.03252849 * kelvin + 5151.79 / kelvin + 38.92561 * log - 563713.9 / kelvin ** 2
  const logKWater = 6.0875 - 4470.99 / kelvin - 0.01706 * kelvin
  const root = Math.sqrt(2.5e-5 * tdsMgL)
  const logGamma = -0.51 * (root / (1 + root) - 0.3 * root * root)
  const paired = (10 ** (3.22 + 8 * logGamma) * calciumHardnessMgL) / 100_087
  return {
    k1: 10 ** (logK1 - logGamma),
    k2: 10 ** (logK2 - 3 * logGamma) * (1 + paired),
    kCyanuric: 10 ** (-6.88 - 1743 * (1 / kelvin - 1 / 298.15) - logGamma),
    kWater: 10 ** (logKWater - logGamma),
  }
}

const cyanurateMmolL = (cyanuricAcidMgL: number) => cyanuricAcidMgL / CYANURIC_ACID_G_MOL

/** Inorganic carbon (mmol/L) of a water whose pH and total alkalinity (meq/L, cyanurate's part included) are known. */
export function carbonOf(alkalinityMeqL: number, hydrogen: number, cyanuricAcidMgL: number, buffer: Buffer): number {
  const { k1, k2, kCyanuric, kWater } = buffer
  const others =
    (cyanurateMmolL(cyanuricAcidMgL) * kCyanuric) / (kCyanuric + hydrogen) + (kWater / hydrogen - hydrogen) * 1000
  const perCarbon = (k1 * (hydrogen + 2 * k2)) / (hydrogen * hydrogen + k1 * hydrogen + k1 * k2)
  return (alkalinityMeqL - others) / perCarbon
}

/** Total alkalinity (meq/L) of a water whose pH and inorganic carbon are known. */
export function alkalinityOf(carbonMmolL: number, hydrogen: number, cyanuricAcidMgL: number, buffer: Buffer): number {
  const { k1, k2, kCyanuric, kWater } = buffer
  return (
    (carbonMmolL * k1 * (hydrogen + 2 * k2)) / (hydrogen * hydrogen + k1 * hydrogen + k1 * k2) +
    (cyanurateMmolL(cyanuricAcidMgL) * kCyanuric) / (kCyanuric + hydrogen) +
    (kWater / hydrogen - hydrogen) * 1000
  )
}

/** One Newton step towards the hydrogen ion activity that balances the alkalinity: enough when the water changed little. */
export function nextHydrogen(
  hydrogen: number,
  alkalinityMeqL: number,
  carbonMmolL: number,
  cyanuricAcidMgL: number,
  buffer: Buffer,
): number {
  const { k1, k2, kCyanuric, kWater } = buffer
  const cyanuric = cyanurateMmolL(cyanuricAcidMgL)
  const below = hydrogen * hydrogen + k1 * hydrogen + k1 * k2
  const above = k1 * (hydrogen + 2 * k2)
  const binding = kCyanuric + hydrogen
  const excess =
    (carbonMmolL * above) / below +
    (cyanuric * kCyanuric) / binding +
    (kWater / hydrogen - hydrogen) * 1000 -
    alkalinityMeqL
  const slope =
    (carbonMmolL * (k1 * below - above * (2 * hydrogen + k1))) / (below * below) -
    (cyanuric * kCyanuric) / (binding * binding) -
    (kWater / (hydrogen * hydrogen) + 1) * 1000
  const next = hydrogen - excess / slope
  return Math.min(hydrogen * 2, Math.max(hydrogen / 2, next))
}

/** Dissolved carbon dioxide, mmol/L: the part of the carbon that air can take. */
export const carbonDioxideMmolL = (carbonMmolL: number, hydrogen: number, { k1, k2 }: Buffer) =>
  (carbonMmolL * hydrogen * hydrogen) / (hydrogen * hydrogen + k1 * hydrogen + k1 * k2)
