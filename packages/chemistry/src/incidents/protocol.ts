import type { Phrase } from '../finding.ts'
import { bodyAsTested, CYANURIC_ACID_SEEN_MGL } from '../findings/facts.ts'
import { quantified, say } from '../findings/make.ts'
import type { IncidentFacts, Instruction, Measured, Snapshot } from '../snapshot.ts'
import { DAY_MS } from '../time.ts'
import type { SanitizerSystem } from '../vocabulary.ts'

export const PROTOCOL_KEYS = ['formedStool', 'vomit', 'diarrhea', 'diarrheaStabilized', 'instruction'] as const
/** `instruction`: what an authority asked for. Whose word the others are stands in basis.ts, apart from the numbers. */
export type ProtocolKey = (typeof PROTOCOL_KEYS)[number]

/** The level to hold and for how long, and what a test must show to count. */
export interface Protocol {
  key: ProtocolKey
  /** The time starts once a test shows it; a test under it does not count. */
  freeChlorineMgL: number
  /** At that level. */
  holdMin: number
  /** Level times minutes. */
  ctMgMinL: number
  /** A higher level counts as what it is (the text gives a CT); else as the level to hold (it gives a level and a time). */
  countsAbove: boolean
  phMax: number
  tempMinC: number
}

const PH_MAX = 7.5
const TEMP_MIN_C = 25

/** What the text for water with cyanuric acid rests on; over it nothing is known. */
const CYANURIC_ACID_TESTED_MGL = 50

const of = (
  key: ProtocolKey,
  freeChlorineMgL: number,
  holdMin: number,
  { countsAbove = false, phMax = PH_MAX } = {},
): Protocol => ({
  key,
  freeChlorineMgL,
  holdMin,
  ctMgMinL: freeChlorineMgL * holdMin,
  countsAbove,
  phMax,
  tempMinC: TEMP_MIN_C,
})

/**
 * The published protocols whose text was read. What they leave open is said by `protocolFor`, never filled in.
 * @source cdcMmwr2001, cdcFecal2010: formed stool. cdcMmwr2008, shields2008: diarrhea. cdcVsp2018: vomit as formed stool,
 * diarrhea. mahc65321: diarrhea in water with cyanuric acid. mahc6523: pH, temperature, start of the time.
 */
export const PROTOCOLS = {
  formedStool: of('formedStool', 2, 30),
  vomit: of('vomit', 2, 30),
  diarrhea: of('diarrhea', 20, 765, { countsAbove: true }),
  diarrheaStabilized: of('diarrheaStabilized', 40, 1800, { phMax: 6.5 }),
} as const satisfies Record<Exclude<ProtocolKey, 'instruction'>, Protocol>

/** What of the water decides which protocol fits. */
export interface IncidentWater {
  sanitizerSystem: SanitizerSystem
  /** Stabilized products are used or fed, or cyanuric acid was found. */
  stabilized: boolean
  /** The newest test of it; null when there is none. */
  cyanuricAcid: Measured | null
}

export const incidentWater = (snapshot: Snapshot): IncidentWater => ({
  sanitizerSystem: snapshot.body.sanitizerSystem,
  stabilized: bodyAsTested(snapshot).cyanuricAcidUsed,
  cyanuricAcid: snapshot.tests.cyanuricAcidMgL ?? null,
})

export interface Choice {
  /** null: nothing published fits, or it is not known yet which. */
  protocol: Protocol | null
  /** Why there is none. */
  because: Phrase | null
  /** A test of cyanuric acid is needed to choose. */
  cyanuricAcidMissing: boolean
}

/** The protocol for an incident in this water; what an authority asked for comes first. */
export function protocolFor({ kind, atMs, instruction }: IncidentFacts, water: IncidentWater): Choice {
  if (instruction) return chosen(instructed(instruction))
  if (water.sanitizerSystem === 'bromine') return none(BROMINE)
  const measured = recent(water.cyanuricAcid, atMs)
  if (measured === null) return { ...none(UNTESTED), cyanuricAcidMissing: true }
  const stabilized = water.stabilized || measured > CYANURIC_ACID_SEEN_MGL
  if (!stabilized) return chosen(PROTOCOLS[kind])
  if (kind !== 'diarrhea') return none(FORMED_STABILIZED)
  if (measured > CYANURIC_ACID_TESTED_MGL) return none(tooMuch(measured))
  return chosen(PROTOCOLS.diarrheaStabilized)
}

/** As long as a test of cyanuric acid speaks for the water; common practice, no source. */
const CYANURIC_ACID_KEEPS_MS = 31 * DAY_MS
const recent = (cyanuricAcid: Measured | null, atMs: number) =>
  cyanuricAcid && cyanuricAcid.atMs >= atMs - CYANURIC_ACID_KEEPS_MS ? cyanuricAcid.value : null

const chosen = (protocol: Protocol): Choice => ({ protocol, because: null, cyanuricAcidMissing: false })
const none = (because: Phrase): Choice => ({ protocol: null, because, cyanuricAcidMissing: false })

const instructed = ({ freeChlorineMgL, holdMin, phMax }: Instruction): Protocol =>
  of('instruction', freeChlorineMgL, holdMin, { phMax: Math.min(phMax ?? PH_MAX, PH_MAX) })

const UNTESTED = say(
  'Cyanuric acid was not tested in the month before the incident or since, and it decides which level and time this water needs.',
)
const BROMINE = say(
  'The published levels and times are for chlorine: for bromine none was read. Ask the health department, or drain the water.',
)
const FORMED_STABILIZED = say(
  'This water holds cyanuric acid, which slows chlorine, and no level and time for formed stool or vomit in such water was read. Ask the health department, or drain the water.',
)
const tooMuch = (foundMgL: number) =>
  say(
    'Cyanuric acid {0} is over the {1} that the published level and time were tried with. Ask the health department, or drain the water.',
    quantified(foundMgL, 'mg/L'),
    quantified(CYANURIC_ACID_TESTED_MGL, 'mg/L'),
  )
