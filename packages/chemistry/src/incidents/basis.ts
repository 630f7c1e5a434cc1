import type { Instruction } from '../snapshot.ts'
import { SOURCES, type SourceKey } from '../sources.ts'
import type { Protocol, ProtocolKey } from './protocol.ts'

/** What a text says, and what speaks against relying on it. */
export interface Basis {
  citation: string
  says: string
  doubt: string | null
}

const basis = (key: SourceKey, says: string, doubt: string | null = null): Basis => ({
  citation: SOURCES[key].citation,
  says,
  doubt,
})

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

/** Whose word the published levels and times are. */
const BASIS: Record<Exclude<ProtocolKey, 'instruction'>, Basis[]> = {
  formedStool: FORMED,
  vomit: [
    basis(
      'cdcVsp2018',
      'Formed stool and vomit are treated by one table of levels and times.',
      'Written for ships. The CT that it asks for, 45, is lower than what is asked for here.',
    ),
    ...FORMED,
  ],
  diarrhea: [
    basis(
      'cdcMmwr2008',
      'CT 15,300 mg·min/L for 99.9 % of Cryptosporidium at pH 7.2 to 7.5 and 77 °F (25 °C); CT is free chlorine times minutes. At 20 mg/L that is 12.75 hours.',
      'It took the place of 9,600 in 2008.',
    ),
    basis('cdcVsp2018', 'Loose stool: CT 15,300 again.', 'Written for ships.'),
    basis('shields2008', 'Measured at pH 7.5: CT 10,400 for one strain, 15,300 for the other.'),
  ],
  diarrheaStabilized: [
    basis(
      'mahc65321',
      'Water with cyanuric acid: pH 6.5 and 40 mg/L for at least 30 hours, with chlorine without stabilizer; or a secondary disinfection system until under one oocyst in 100 mL is left; or drain the water.',
      'The page read shows no edition and may be superseded; newer texts are said to treat a little cyanuric acid on its own, which was not read. It rests on tests with 50 mg/L of cyanuric acid. Ask the health department before you rely on it.',
    ),
  ],
}

/** Whose word a protocol is, the weightiest first; the conditions that all of them share last. */
export function basisOf({ key }: Protocol, instruction: Instruction | null): Basis[] {
  const own = key === 'instruction' ? asked(instruction) : BASIS[key]
  return [...own, CONDITIONS]
}

const asked = (instruction: Instruction | null): Basis[] =>
  instruction ? [{ citation: instruction.by, says: 'Asked for this level and this time.', doubt: null }] : []
