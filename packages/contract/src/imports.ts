import { z } from 'zod'
import { id, instant, name, person, quantity, timeZone } from './primitives.ts'

export const ENCODINGS = ['utf-8', 'utf-16le', 'utf-16be', 'windows-1252'] as const
export const DELIMITERS = [',', ';', '\t', '|'] as const
export const DATE_ORDERS = ['ymd', 'dmy', 'mdy', 'epochS', 'epochMs'] as const
export const COLUMN_UNITS = ['asStored', 'F', 'V', 'gpm', 'm3h', 'onOff', 'openIsOn', 'closedIsOn', 'fraction'] as const

/** Which column holds the time, in which order its parts stand, and whose clock it is. */
const timeColumns = z.object({
  dateColumn: z.number().int().min(0),
  /** A second column with the time of day; null when date and time stand together. */
  timeColumn: z.number().int().min(0).nullable(),
  order: z.enum(DATE_ORDERS),
  /** For values without an offset of their own. */
  zone: timeZone,
})

const columnTarget = z.object({
  column: z.number().int().min(0),
  /** With a key column: the rows whose key is this word; null: every row. */
  key: z.string().nullable(),
  bodyId: id,
  quantity,
  /** `asStored`: already in mg/L, °C, mV, L/min, per cent. */
  unit: z.enum(COLUMN_UNITS),
})

/** How to read one kind of file: what was detected or chosen, and where each column goes. Columns count from 0, lines from 1. */
export const layout = z.object({
  encoding: z.enum(ENCODINGS),
  delimiter: z.enum(DELIMITERS),
  decimal: z.enum(['.', ',']),
  /** The line of the column names; null when there is none. Lines before it are left out. */
  headerLine: z.number().int().min(1).nullable(),
  columnNames: z.array(z.string()),
  time: timeColumns,
  /** A column that says which body or which channel a row speaks of; null when each row speaks of all. */
  keyColumn: z.number().int().min(0).nullable(),
  columns: z.array(columnTarget).max(200),
})
export type Layout = z.infer<typeof layout>
export type ColumnTarget = z.infer<typeof columnTarget>

export const detection = z.object({
  encoding: z.enum(ENCODINGS),
  byteOrderMark: z.boolean(),
  lineEnding: z.enum(['LF', 'CRLF', 'CR']),
  delimiter: z.enum(DELIMITERS),
  decimal: z.enum(['.', ',']),
  headerLine: z.number().int().nullable(),
  columns: z.array(
    z.object({
      index: z.number().int(),
      name: z.string(),
      examples: z.array(z.string()),
      guess: z.object({ quantity: quantity.nullable(), unit: z.enum(COLUMN_UNITS), isTime: z.boolean() }).nullable(),
    }),
  ),
  dateOrder: z.enum(DATE_ORDERS).nullable(),
  /** True when the rows seen fit more than one order (01/02 …): a person must say. */
  dateOrderAmbiguous: z.boolean(),
  /** Distinct words of a likely key column, for matching. */
  keyWords: z.array(z.object({ column: z.number().int(), words: z.array(z.string()) })),
  firstRows: z.array(z.array(z.string())),
  /** A remembered layout whose columns are these. */
  knownLayout: z.object({ id, name }).nullable(),
  /** What to begin with: the remembered layout, or what was detected and matched to the facility's channels. */
  proposal: layout.nullable(),
  /** What a person must settle before the check can run. */
  questions: z.array(z.string()),
})
export type Detection = z.infer<typeof detection>

export const IMPORT_STATES = ['uploaded', 'checking', 'checked', 'running', 'done', 'failed'] as const
export const importState = z.enum(IMPORT_STATES)

export const importCounts = z.object({
  rows: z.number().int(),
  /** Samples that are new, or fill channels that were empty. */
  stored: z.number().int(),
  /** Already there with the same values. */
  same: z.number().int(),
  /** Already there with other values: what was stored first is kept. */
  differing: z.number().int(),
  rejected: z.number().int(),
  bodies: z.array(z.object({ bodyId: id, samples: z.number().int(), fromAt: instant, toAt: instant })),
})

export const reject = z.object({
  line: z.number().int(),
  column: z.string().nullable(),
  value: z.string().nullable(),
  reason: z.string(),
})
export type Reject = z.infer<typeof reject>

export const importRecord = z.object({
  id,
  facilityId: id,
  facilityName: z.string(),
  fileName: z.string(),
  bytes: z.number().int(),
  sha256: z.string(),
  state: importState,
  /** 0 to 1 while checking or running. */
  progress: z.number().min(0).max(1),
  layoutName: z.string().nullable(),
  counts: importCounts.nullable(),
  /** Why it failed, and what to do. */
  failure: z.string().nullable(),
  person,
  createdAt: instant,
  finishedAt: instant.nullable(),
})
export type ImportRecord = z.infer<typeof importRecord>

export const importDetail = importRecord.extend({
  detection: detection.nullable(),
  layout: layout.nullable(),
  /** The first rejects; the whole list is `/imports/:id/rejects.csv`. */
  firstRejects: z.array(reject),
})
export type ImportDetail = z.infer<typeof importDetail>

/** How the file is written, where detection took it wrong; what is left out is detected. */
export const importDetect = z.object({
  encoding: z.enum(ENCODINGS).optional(),
  delimiter: z.enum(DELIMITERS).optional(),
  /** Null: there is no line of column names. */
  headerLine: z.number().int().min(1).nullable().optional(),
})
export type ImportDetect = z.infer<typeof importDetect>

export const importCheck = z.object({ layout })
export const importRun = z.object({
  /** Remember this layout under a name, so that the next file like it is recognised. */
  rememberAs: name.optional(),
})
