import type { Phrase } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import type { FeederFacts, Snapshot } from '../snapshot.ts'
import { acidMeqPerL, activeGPerL } from './product.ts'
import type { TuningCase } from './tuning.ts'

/** What is known beside the body and its feeder. */
interface Known {
  water: TuningCase['water']
  targetMgL: number
  /** Minutes of run on a usual day; null: not known. */
  minPerDay: number | null
  slopeMv: number | null
}

export const tuningCaseOf = (
  { body }: Snapshot,
  feeder: FeederFacts,
  { water, targetMgL, minPerDay, slopeMv }: Known,
): TuningCase => ({
  body,
  feeder,
  water,
  targetMgL,
  slopeMv,
  dailyUse: minPerDay === null ? null : dailyUseOf(body, feeder, minPerDay),
})

/** Taken where nobody tested it: as in most pools. Common practice, no source. */
const USUAL = { totalAlkalinityMgL: 90, calciumHardnessMgL: 250, tdsMgL: 1000, tempC: 27 } as const
const USUAL_WORDS = {
  totalAlkalinityMgL: { words: 'Total alkalinity', unit: 'mg/L' },
  calciumHardnessMgL: { words: 'Calcium hardness', unit: 'mg/L' },
  tdsMgL: { words: 'Dissolved solids', unit: 'mg/L' },
  tempC: { words: 'Temperature', unit: '°C' },
} as const

/** The water as tested last; null where neither sanitizer nor pH ever was. */
export function waterOf({ tests, body }: Snapshot): { water: TuningCase['water'] | null; assumed: Phrase[] } {
  const sanitizer = body.sanitizerSystem === 'bromine' ? tests.bromineMgL : tests.freeChlorineMgL
  if (!sanitizer || !tests.ph) return { water: null, assumed: [] }
  const keys = Object.keys(USUAL) as (keyof typeof USUAL)[]
  const taken = keys.filter((key) => !tests[key])
  const value = (key: keyof typeof USUAL) => tests[key]?.value ?? USUAL[key]
  return {
    water: {
      sanitizerMgL: sanitizer.value,
      ph: tests.ph.value,
      totalAlkalinityMgL: value('totalAlkalinityMgL'),
      calciumHardnessMgL: value('calciumHardnessMgL'),
      tdsMgL: value('tdsMgL'),
      tempC: value('tempC'),
      cyanuricAcidMgL: tests.cyanuricAcidMgL?.value ?? 0,
    },
    assumed: taken.map((key) =>
      say(`${USUAL_WORDS[key].words} was never tested: taken as {0}.`, quantified(USUAL[key], USUAL_WORDS[key].unit)),
    ),
  }
}

/** mg/L of sanitizer or meq/L of acid that so many minutes of run bring. */
function dailyUseOf(
  { volumeL }: Snapshot['body'],
  { drum, rateLH, role }: FeederFacts,
  minutes: number,
): number | null {
  if (!volumeL || !drum || !rateLH) return null
  const litres = (rateLH / 60) * minutes
  return (litres * (role === 'ph' ? acidMeqPerL(drum) : 1000 * activeGPerL(drum))) / volumeL
}
