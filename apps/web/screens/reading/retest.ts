import {
  type Expectation,
  expectedRetest,
  OutOfRange,
  type PlanForBody,
  retestFindings,
  type Snapshot,
} from '@sightglass/chemistry'
import type { TestValues } from '@sightglass/contract'
import { type DoseEntry, dosesOf } from '../../shared/amounts.ts'
import { asShown } from '../../shared/doses.ts'
import { rangeText, type System, thingText } from '../../shared/measure.ts'
import { sentenceOf } from '../../shared/phrase.ts'
import { thingWords } from '../../shared/words.ts'

export interface RetestModel {
  /** What the doses should have moved: from, to, and between what a test says nothing. */
  rows: { label: string; before: string; expected: string; band: string }[]
  /** What the typed values point to, where they lie outside of that. */
  says: string[]
  /** Why nothing can be expected; '' when it can. */
  trouble: string
}

/** What a test after these doses should show, from the water as it was tested before; null while no dose is entered. */
export function prepareRetest(
  { body }: Snapshot,
  { water }: Pick<PlanForBody, 'water'>,
  entries: readonly DoseEntry[],
  typed: TestValues,
  system: System,
): RetestModel | null {
  const doses = dosesOf(entries)
  if (doses.length === 0) return null
  const nothing = (trouble: string): RetestModel => ({ rows: [], says: [], trouble })
  if (!water || body.volumeL === null)
    return nothing('What to expect cannot be told: the volume, or a test from before the dose, is missing or too old.')
  try {
    const expected = expectedRetest(water, body.volumeL, doses)
    return {
      rows: expected.expectations.filter(moves).map((expectation) => rowOf(expectation, system)),
      says: retestFindings(expected, typed, body.volumeL).map(({ says }) => sentenceOf(says, system)),
      trouble: '',
    }
  } catch (error) {
    if (error instanceof OutOfRange)
      return nothing(`No such water can be reckoned: ${error.message}. Look at the amounts.`)
    throw error
  }
}

const moves = ({ thing, before, expected }: Expectation) => asShown(thing, before) !== asShown(thing, expected)

const rowOf = ({ thing, before, expected, low, high }: Expectation, system: System): RetestModel['rows'][number] => ({
  label: thingWords(thing),
  before: thingText(thing, asShown(thing, before), system),
  expected: thingText(thing, asShown(thing, expected), system),
  band: rangeText(thing, { min: asShown(thing, low), max: asShown(thing, high) }, system),
})
