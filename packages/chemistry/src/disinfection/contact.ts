import { within } from '../errors.ts'
import type { SourceKey } from '../sources.ts'
import { GIARDIA_TABLE, VIRUS_TABLE } from './contactTables.ts'

export const ORGANISMS = ['cryptosporidium', 'giardia', 'viruses', 'hepatitisA', 'ecoliO157'] as const
export type Organism = (typeof ORGANISMS)[number]

/** Water whose chlorine is to kill. */
export interface ContactWater {
  /** 6–9. */
  ph: number
  /** 10–50 °C. */
  tempC: number
  /** mg/L as Cl2, more than 0, at most 200: the level that is held all the time. */
  freeChlorineMgL: number
  /** mg/L; with more than a trace there is no published value here. */
  cyanuricAcidMgL: number
}

export interface Contact {
  /** Free chlorine times minutes, mg·min/L. */
  ctMgMinL: number
  /** At the level of the water. */
  minutes: number
  /** Powers of ten killed; null where the source does not say. */
  log: number | null
  source: SourceKey
  /** `read`: the text itself; `secondSource`: another page that restates it. */
  status: 'read' | 'secondSource'
}

interface Published {
  ctMgMinL: number
  log: number | null
  source: SourceKey
  status: Contact['status']
}

/**
 * CT that a wanted inactivation takes, by what is published for free chlorine without cyanuric acid. In proportion to the powers of ten,
 * as 40 CFR 141.534 reckons for Giardia; for the others that is an assumption.
 * @param wantedLog powers of ten, more than 0, at most 4; where the source does not say how much dies it changes nothing
 * @returns null where nothing published fits: cyanuric acid in the water, colder, or more alkaline than what was tried
 * @throws OutOfRange outside the ranges of `ContactWater`
 * @source cdcMmwr2008, epa815R20003, cdcChlorineTimes, cfr141534
 */
export function contactFor(organism: Organism, wantedLog: number, water: ContactWater): Contact | null {
  within('inactivation in powers of ten', wantedLog, Number.MIN_VALUE, 4)
  within('pH', water.ph, 6, 9)
  within('water temperature in °C', water.tempC, 10, 50)
  within('free chlorine in mg/L', water.freeChlorineMgL, Number.MIN_VALUE, 200)
  within('cyanuric acid in mg/L', water.cyanuricAcidMgL, 0, 1000)
  if (water.cyanuricAcidMgL > CYANURIC_ACID_TRACE_MGL) return null
  const published = PUBLISHED[organism](water)
  if (!published) return null
  const { log, ctMgMinL, ...rest } = published
  const needed = log === null ? ctMgMinL : (ctMgMinL * wantedLog) / log
  return { ctMgMinL: needed, minutes: needed / water.freeChlorineMgL, log: log === null ? null : wantedLog, ...rest }
}

/** Under it a test kit reads nothing. Common practice, no source. */
const CYANURIC_ACID_TRACE_MGL = 1

/** Powers of ten of Giardia killed by a CT: three times its share of the CT for three, by 40 CFR 141.534.
 * @param ctMgMinL 0 or more, else OutOfRange
 * @source cfr141534, epa815R20003 */
export function giardiaLog(ctMgMinL: number, water: ContactWater): number | null {
  within('CT in mg·min/L', ctMgMinL, 0, 1e9)
  const three = contactFor('giardia', 3, water)
  return three && (3 * ctMgMinL) / three.ctMgMinL
}

const PUBLISHED: Record<Organism, (water: ContactWater) => Published | null> = {
  cryptosporidium: (water) =>
    asTriedByCdc(water) ? { ctMgMinL: 15_300, log: 3, source: 'cdcMmwr2008', status: 'read' } : null,
  giardia: (water) => ({ ctMgMinL: giardiaCt(water), log: 3, source: 'epa815R20003', status: 'secondSource' }),
  viruses: ({ tempC }) => ({
    ctMgMinL: coldest(VIRUS_TABLE, tempC).ctMgMinL,
    log: 4,
    source: 'epa815R20003',
    status: 'secondSource',
  }),
  hepatitisA: (water) => cdcTime(water, 16),
  ecoliO157: (water) => cdcTime(water, 1),
}

/** pH 7.5 or lower and 25 °C or warmer: lower pH and warmer water only kill faster. */
const asTriedByCdc = ({ ph, tempC }: ContactWater) => ph <= 7.5 && tempC >= 25

/** CDC's times at 1 mg/L, pH 7.5 and 25 °C; how much dies is not told where they were read. */
const cdcTime = (water: ContactWater, ctMgMinL: number): Published | null =>
  asTriedByCdc(water) ? { ctMgMinL, log: null, source: 'cdcChlorineTimes', status: 'secondSource' } : null

/** The row of the table as EPA reads it: temperature at or just below, pH and chlorine at or just above, the last chlorine beyond. */
function giardiaCt({ ph, tempC, freeChlorineMgL }: ContactWater): number {
  const { chlorineMgL, ph: columns, at } = GIARDIA_TABLE
  const { ct } = coldest(at, tempC)
  const row = chlorineMgL.findIndex((level) => level >= freeChlorineMgL - ROUNDING)
  const column = columns.findIndex((level) => level >= ph - ROUNDING)
  return (ct[row === -1 ? chlorineMgL.length - 1 : row] as readonly number[])[column] as number
}
const ROUNDING = 1e-9

function coldest<Row extends { tempC: number }>(rows: readonly Row[], tempC: number): Row {
  return rows.filter((row) => row.tempC <= tempC + ROUNDING).at(-1) as Row
}
