import { existsSync, readFileSync } from 'node:fs'
import type { HourRecord, RedoxPair, RedoxRecord, Spread } from '@sightglass/chemistry'
import { median } from '../../../packages/chemistry/src/redox/numbers.ts'
import { HOUR, record } from './support.ts'

/**
 * Ten-minute medians of a drinking-water works' sensors with chlorine dioxide: GECCO Industrial Challenge 2017 and 2018 (Moritz, Rehbach,
 * Chandrasekaran, Rebolledo, Bartz-Beielstein; Thüringer Fernwasserversorgung; doi 10.5281/zenodo.3884398 for 2018). They are not part
 * of this project; where they lie is told by this variable of the environment.
 */
export const SENSORS_VARIABLE = 'SIGHTGLASS_REDOX_DATA'
export const SENSOR_FILES = { 2017: 'gecco2017_10min.csv', 2018: 'gecco2018train_10min.csv' } as const
export type Year = keyof typeof SENSOR_FILES

const folder = process.env[SENSORS_VARIABLE]

/** Why they cannot be read in a folder; null when they can. */
export function absence(of: string | undefined): string | null {
  const names = Object.values(SENSOR_FILES)
  if (!of) return `absent: skipped. Set ${SENSORS_VARIABLE} to the folder that holds ${names.join(' and ')}`
  const missing = names.filter((name) => !existsSync(`${of}/${name}`))
  return missing.length > 0
    ? `absent: skipped. ${SENSORS_VARIABLE} is set, but ${missing.join(' and ')} is not there`
    : null
}
export const sensorsAbsent: string | null = absence(folder)

export interface Row {
  atMs: number
  tempC: number
  ph: number
  orpMv: number
  conductivity: number
  /** mg/L of chlorine dioxide, at two stations. */
  cl: number
  cl2: number
  /** Somebody labelled these minutes as an event. */
  event: boolean
}
export type Channel = 'cl' | 'cl2'

/** Rows that have every value that is used here. Their local time is taken as it stands. */
export function rowsOf(year: Year): Row[] {
  const [head = '', ...lines] = readFileSync(`${folder}/${SENSOR_FILES[year]}`, 'utf8').trim().split('\n')
  const names = head.split(',')
  return lines.flatMap((line) => {
    const cells = line.split(',')
    const of = (name: string) => {
      const cell = cells[names.indexOf(name)]
      return cell === undefined || cell === '' ? Number.NaN : Number(cell)
    }
    const row = {
      atMs: at(cells[0] as string),
      tempC: of('Tp'),
      ph: of('pH'),
      orpMv: of('Redox'),
      conductivity: of('Leit'),
      cl: of('Cl'),
      cl2: of('Cl_2'),
      event: of('EVENT') > 0,
    }
    return Object.values(row).every((value) => !Number.isNaN(value)) ? [row] : []
  })
}

/** ms of a time as the files write it. */
export const at = (text: string): number => Date.parse(`${text.replace(' ', 'T')}:00Z`)

export const between = <T extends { atMs: number }>(rows: readonly T[], from: string, to: string): T[] =>
  rows.filter(({ atMs }) => atMs >= at(from) && atMs < at(to))

/** The clean rows as the publisher's notes set their bounds. */
export const isClean = ({ orpMv, ph, cl, cl2, tempC }: Row): boolean =>
  orpMv >= 600 &&
  orpMv <= 850 &&
  ph >= 7.5 &&
  ph <= 9 &&
  cl >= 0.02 &&
  cl2 >= 0.02 &&
  cl <= 0.5 &&
  cl2 <= 0.5 &&
  tempC >= 1 &&
  tempC <= 20

const groups = (rows: readonly Row[], everyMs: number): Row[][] => {
  const byStretch = new Map<number, Row[]>()
  for (const row of rows) {
    const stretch = Math.floor(row.atMs / everyMs)
    const group = byStretch.get(stretch)
    if (group) group.push(row)
    else byStretch.set(stretch, [row])
  }
  return [...byStretch.values()]
}

const spread = (values: readonly number[]): Spread => ({
  min: Math.min(...values),
  mean: values.reduce((sum, value) => sum + value, 0) / values.length,
  max: Math.max(...values),
})

/** What resolution and noise of such a sensor come to, mg/L. Judgement. */
const SENSOR_SD_MGL = { cl: 0.003, cl2: 0.001 } as const

/** One pair of the rows of a stretch: the sensor stands for the test kit, the medians for what was read. */
function pairOf(rows: readonly Row[], channel: Channel): RedoxPair {
  const middle = (pick: (row: Row) => number) => median(rows.map(pick))
  const { atMs } = rows[Math.floor(rows.length / 2)] as Row
  const shown = (pick: (row: Row) => number) => ({
    from: 'samples' as const,
    value: middle(pick),
    spread: spread(rows.map(pick)),
  })
  return {
    atMs,
    test: {
      sanitizerMgL: middle((row) => row[channel]),
      sanitizerSdMgL: SENSOR_SD_MGL[channel],
      combinedChlorineMgL: null,
      ph: { value: middle(({ ph }) => ph), atMs },
      cyanuricAcidMgL: null,
      tempC: { value: middle(({ tempC }) => tempC), atMs },
      tdsMgL: { value: 0.65 * middle(({ conductivity }) => conductivity), atMs },
    },
    orp: shown(({ orpMv }) => orpMv),
    ph: shown(({ ph }) => ph),
  }
}

function hourOf(rows: readonly Row[]): HourRecord {
  return {
    hourMs: Math.floor((rows[0] as Row).atMs / HOUR) * HOUR,
    samples: rows.length,
    coveredMin: Math.min(60, 10 * rows.length),
    ph: spread(rows.map(({ ph }) => ph)),
    orpMv: spread(rows.map(({ orpMv }) => orpMv)),
    freeChlorineMgL: null,
    tempC: spread(rows.map(({ tempC }) => tempC)),
    flowLMin: null,
    phSetPoint: null,
    orpSetPointMv: null,
    sanitizerFeedMin: null,
    backupFeedMin: null,
    phFeedMin: null,
    noFlowMin: null,
    feedWithoutFlowMin: null,
    bothFeedsMin: null,
  }
}

/** The record that the product would have of these rows. */
export const sensorRecord = (rows: readonly Row[], channel: Channel, everyMs: number): RedoxRecord =>
  record({
    oxidant: 'chlorineDioxide',
    pairs: groups(rows, everyMs).map((group) => pairOf(group, channel)),
    hours: groups(rows, HOUR).map(hourOf),
  })
