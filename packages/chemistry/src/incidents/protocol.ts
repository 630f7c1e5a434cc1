import type { Phrase } from '../finding.ts'
import { bodyAsTested, CYANURIC_ACID_SEEN_MGL } from '../findings/facts.ts'
import { quantified, say } from '../findings/make.ts'
import type { IncidentFacts, Instruction, Measured, Snapshot } from '../snapshot.ts'
import { SOURCES, type SourceKey } from '../sources.ts'
import { DAY_MS } from '../time.ts'
import type { SanitizerSystem } from '../vocabulary.ts'

/** What a text says, and what speaks against relying on it. */
export interface Basis {
  citation: string
  says: string
  doubt: string | null
}

/** The level to hold and for how long, and what a test must show to count. */
export interface Protocol {
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
  basis: Basis[]
}

const basis = (key: SourceKey, says: string, doubt: string | null = null): Basis => ({
  citation: SOURCES[key].citation,
  says,
  doubt,
})

const PH_MAX = 7.5
const TEMP_MIN_C = 25

const CONDITIONS = basis(
  'mahc6523',
  'pH 7.5 or lower, 77 °F (25 °C) or warmer, filter running, the level tested at several places, only chlorine without stabilizer. The time starts once the level is measured.',
  'The page read shows no edition.',
)
const FORMED = [
  basis(
    'cdcMmwr2001',
    'Formed stool: free chlorine 2 mg/L at pH 7.2 to 7.5; the water stays closed about 30 minutes.',
    'CDC has updated this notice since. A shorter time in later texts was not read: the longer one stands here.',
  ),
  basis('cdcFecal2010', 'Formed stool: 2 ppm, pH 7.5 or less.', 'Last updated 15 November 2010.'),
]
const VOMIT = basis(
  'cdcVsp2018',
  'Formed stool and vomit are treated by one table of levels and times.',
  'Written for ships. Their sum of level and minutes, 45, is lower than what is asked for here.',
)
const DIARRHEA = [
  basis(
    'cdcMmwr2008',
    'CT 15,300 mg·min/L for 99.9 % of Cryptosporidium at pH 7.2 to 7.5 and 77 °F (25 °C); CT is free chlorine times minutes. At 20 mg/L that is 12.75 hours.',
    'It took the place of 9,600 in 2008.',
  ),
  basis('cdcVsp2018', 'Loose stool: CT 15,300 again.', 'Written for ships.'),
  basis('shields2008', 'Measured at pH 7.5: CT 10,400 for one strain, 15,300 for the other.'),
]
const DIARRHEA_STABILIZED = basis(
  'mahc65321',
  'Water with cyanuric acid: pH 6.5 and 40 mg/L for at least 30 hours, with chlorine without stabilizer; or a secondary disinfection system until under one oocyst in 100 mL is left; or drain the water.',
  'The page read shows no edition and may be superseded; newer texts are said to treat a little cyanuric acid on its own, which was not read. It rests on tests with 50 mg/L of cyanuric acid. Ask the health department before you rely on it.',
)

/** What the text for water with cyanuric acid rests on; over it nothing is known. */
const CYANURIC_ACID_TESTED_MGL = 50

const of = (
  freeChlorineMgL: number,
  holdMin: number,
  countsAbove: boolean,
  rest: { phMax?: number; basis: Basis[] },
): Protocol => ({
  freeChlorineMgL,
  holdMin,
  ctMgMinL: freeChlorineMgL * holdMin,
  countsAbove,
  phMax: PH_MAX,
  tempMinC: TEMP_MIN_C,
  ...rest,
})

/**
 * The published protocols whose text was read. What they leave open is said by `protocolFor`, never filled in.
 * @source cdcMmwr2001, cdcFecal2010: formed stool. cdcMmwr2008, shields2008: diarrhea. cdcVsp2018: vomit as formed stool,
 * diarrhea. mahc65321: diarrhea in water with cyanuric acid. mahc6523: pH, temperature, start of the time.
 */
export const PROTOCOLS = {
  formedStool: of(2, 30, false, { basis: [...FORMED, CONDITIONS] }),
  vomit: of(2, 30, false, { basis: [VOMIT, ...FORMED, CONDITIONS] }),
  diarrhea: of(20, 765, true, { basis: [...DIARRHEA, CONDITIONS] }),
  diarrheaStabilized: of(40, 1800, false, { phMax: 6.5, basis: [DIARRHEA_STABILIZED, CONDITIONS] }),
} as const satisfies Record<string, Protocol>

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

const instructed = ({ freeChlorineMgL, holdMin, phMax, by }: Instruction): Protocol =>
  of(freeChlorineMgL, holdMin, false, {
    phMax: Math.min(phMax ?? PH_MAX, PH_MAX),
    basis: [{ citation: by, says: 'Asked for this level and this time.', doubt: null }, CONDITIONS],
  })

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
