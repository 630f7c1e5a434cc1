import { DAY_MS } from '../time.ts'
import type { Attribution, DriftFactor, RedoxPair, RedoxRecord, RedoxTest } from './types.ts'

const TESTS = {
  stabilizer: 'cyanuricAcidMgL',
  ph: 'ph',
  temperature: 'tempC',
  dissolvedSolids: 'tdsMgL',
} as const satisfies Partial<Record<DriftFactor, keyof RedoxTest>>
export type TestedFactor = keyof typeof TESTS
const FACTORS = Object.keys(TESTS) as TestedFactor[]

/** Further than this a test of pH or temperature is not carried: then a usual value is taken, as where nothing was tested. */
const CARRIED_MS = 60 * DAY_MS

function isTested({ test, atMs }: RedoxPair, factor: TestedFactor): boolean {
  const measured = test[TESTS[factor]]
  const keeps = factor === 'stabilizer' || factor === 'dissolvedSolids'
  return measured !== null && (keeps || atMs - measured.atMs <= CARRIED_MS)
}

const newestBy = ({ pairs }: RedoxRecord, byMs: number) =>
  pairs.findLast(({ atMs, test }) => atMs <= byMs && test.sanitizerMgL !== null)

/** What no test tells of the water by a time: a usual value is taken for it. */
export function untestedBy(record: RedoxRecord, byMs: number): TestedFactor[] {
  const newest = newestBy(record, byMs)
  return FACTORS.filter((factor) => !newest || !isTested(newest, factor))
}

/** The same with `from` and `to` only where a test told them; what was taken for untested water is named as nothing's cause. */
export function asTested(attribution: Attribution, record: RedoxRecord): Attribution {
  const [then, now] = [attribution.fromMs, attribution.toMs].map((ms) => untestedBy(record, ms)) as [
    DriftFactor[],
    DriftFactor[],
  ]
  const { main } = attribution
  return {
    ...attribution,
    parts: attribution.parts.map((part) => ({
      ...part,
      from: then.includes(part.factor) ? null : part.from,
      to: now.includes(part.factor) ? null : part.to,
    })),
    main: main && (then.includes(main) || now.includes(main)) ? null : main,
  }
}
