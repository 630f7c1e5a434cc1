import { PARAMETERS, type Parameter, QUANTITIES, type Quantity } from '@sightglass/chemistry'
import { z } from 'zod'

/** What a stored value may be at all (`hard`), and outside what a person is asked once whether it is meant (`usual`). Common practice, no source. */
interface Range {
  words: string
  hard: readonly [number, number]
  usual: readonly [number, number]
  /** Nobody means a part of one. */
  whole?: boolean
}

export const PARAMETER_RANGES: Record<Parameter, Range> = {
  freeChlorineMgL: { words: 'Free chlorine', hard: [0, 200], usual: [0, 12] },
  totalChlorineMgL: { words: 'Total chlorine', hard: [0, 200], usual: [0, 14] },
  bromineMgL: { words: 'Bromine', hard: [0, 200], usual: [0, 14] },
  ph: { words: 'pH', hard: [0, 14], usual: [6.6, 8.4] },
  totalAlkalinityMgL: { words: 'Total alkalinity', hard: [0, 2000], usual: [30, 300] },
  calciumHardnessMgL: { words: 'Calcium hardness', hard: [0, 5000], usual: [30, 1000] },
  cyanuricAcidMgL: { words: 'Cyanuric acid', hard: [0, 1000], usual: [0, 150] },
  tempC: { words: 'Water temperature', hard: [-2, 60], usual: [10, 42] },
  tdsMgL: { words: 'Total dissolved solids', hard: [0, 100_000], usual: [150, 8000] },
  saltMgL: { words: 'Salt', hard: [0, 100_000], usual: [0, 6000] },
}

export const QUANTITY_RANGES: Record<Quantity, Range> = {
  ph: { words: 'pH', hard: [0, 14], usual: [5, 10] },
  orpMv: { words: 'ORP', hard: [-1000, 1300], usual: [200, 950], whole: true },
  freeChlorineMgL: { words: 'Free chlorine', hard: [0, 200], usual: [0, 20] },
  tempC: { words: 'Water temperature', hard: [-2, 60], usual: [5, 45] },
  flowLMin: { words: 'Flow', hard: [0, 200_000], usual: [0, 20_000] },
  flowOn: { words: 'Flow switch', hard: [0, 1], usual: [0, 1] },
  sanitizerFeedPct: { words: 'Sanitizer feed', hard: [0, 100], usual: [0, 100] },
  backupFeedPct: { words: 'Backup sanitizer feed', hard: [0, 100], usual: [0, 100] },
  phFeedPct: { words: 'pH feed', hard: [0, 100], usual: [0, 100] },
  phSetPoint: { words: 'pH set point', hard: [0, 14], usual: [6.8, 8] },
  orpSetPointMv: { words: 'ORP set point', hard: [0, 1300], usual: [550, 900], whole: true },
}

/** Says what is wrong with a value outside its hard range, and what may have been meant; null when it is inside. */
export function outsideHardRange({ words, hard: [low, high], whole }: Range, value: number): string | null {
  if (value >= low && value <= high) return null
  const slip = [value / 10, value / 100, -value].find(
    (guess) => guess >= low && guess <= high && (!whole || Number.isInteger(guess)),
  )
  const hint = slip === undefined || value < 0 ? '' : ` Did you mean ${Number(slip.toFixed(2))}?`
  return `${words} ${value} is outside ${low} to ${high}.${hint}`
}

/** True when a value is possible but so rare that a person should say that it is meant. */
export const isUnusual = ({ usual: [low, high] }: Range, value: number) => value < low || value > high

export const ranged = (range: Range) =>
  z.number(`${range.words} must be a number`).superRefine((value, context) => {
    const message = outsideHardRange(range, value)
    if (message) context.addIssue({ code: 'custom', message })
  })

const fields = <Key extends string>(keys: readonly Key[], ranges: Record<Key, Range>) =>
  Object.fromEntries(keys.map((key) => [key, ranged(ranges[key])])) as Record<Key, z.ZodNumber>

/** The values of one manual test: any subset, at least one checked by the reading's own rule. */
export const testValues = z.object(fields(PARAMETERS, PARAMETER_RANGES)).partial()
export type TestValues = z.infer<typeof testValues>

const number = (words: string) => z.number(`${words} must be a number`)
const numbers = Object.fromEntries(
  QUANTITIES.map((quantity) => [quantity, number(QUANTITY_RANGES[quantity].words)]),
) as Record<Quantity, z.ZodNumber>

/** The values of one sample; `flowOn` is true or false, all else numbers. One impossible value must not hold up a whole
 *  batch: ranges are judged sample by sample, and what is outside comes back as rejected. */
export const sampleValues = z
  .strictObject(
    { ...numbers, flowOn: z.boolean('Flow switch must be true or false') },
    {
      error: (issue) =>
        issue.code === 'unrecognized_keys'
          ? `does not know ${issue.keys.map((key) => `“${key}”`).join(', ')}: it holds any of ${QUANTITIES.join(', ')}`
          : undefined,
    },
  )
  .partial()
export type SampleValues = z.infer<typeof sampleValues>
