import { QUANTITIES, type Quantity } from '@sightglass/chemistry'
import type { ColumnTarget, Detection, Layout } from '@sightglass/contract'
import { type ColumnGuess, guessColumn, wordsOf } from './columns.ts'

/** What stands at the facility, as far as an export can speak of it. */
export interface Place {
  timeZone: string
  bodies: { id: string; name: string; quantities: Quantity[] }[]
}

interface Given {
  place: Place
  names: readonly string[]
  rows: readonly string[][]
  guesses: readonly ColumnGuess[]
  timeColumns: readonly number[]
  keyWords: Detection['keyWords']
  /** The file's name and what stands above the table: either may name the body. */
  about: string
}

export interface Proposed {
  keyColumn: number | null
  columns: ColumnTarget[]
  /** The columns are understood, but not of which body they speak. */
  bodyUnclear: boolean
}

/** Sends each column that is understood to a channel in use. */
export function propose(given: Given): Proposed {
  const key = chooseKey(given)
  const usual = usualBody(given)
  const targets: ColumnTarget[] = []
  let bodyUnclear = false
  const add = (column: number, word: string | null, body: Place['bodies'][number] | undefined, guess: ColumnGuess) => {
    if (guess.quantity === null) return
    if (!body) {
      bodyUnclear = true
      return
    }
    const taken = targets.some((t) => t.key === word && t.bodyId === body.id && t.quantity === guess.quantity)
    if (taken || !body.quantities.includes(guess.quantity)) return
    targets.push({ column, key: word, bodyId: body.id, quantity: guess.quantity, unit: guess.unit })
  }
  const columns = given.names.map((_, column) => column).filter((column) => !given.timeColumns.includes(column))
  if (key === null) {
    for (const column of columns) {
      const name = given.names[column] ?? ''
      add(column, null, namedBody(given.place, name) ?? usual, given.guesses[column] as ColumnGuess)
    }
    return { keyColumn: null, columns: targets, bodyUnclear }
  }
  for (const word of key.words) {
    const own = given.rows.filter((row) => row[key.column] === word)
    const body = namedBody(given.place, word) ?? usual
    for (const column of columns) {
      if (column === key.column) continue
      const cells = own.map((row) => row[column] ?? '')
      const byWord = guessColumn(word, cells)
      const guess = given.guesses[column] as ColumnGuess
      add(column, word, body, guess.quantity === null && isValue(cells) ? byWord : guess)
    }
  }
  return { keyColumn: key.column, columns: targets, bodyUnclear }
}

const isValue = (cells: readonly string[]) => cells.some((cell) => /\d|^(on|off)$/i.test(cell))

/** A key column is one whose words name bodies or quantities. */
function chooseKey({ place, keyWords }: Given): Detection['keyWords'][number] | null {
  const telling = (word: string) => namedBody(place, word) !== undefined || guessColumn(word, []).quantity !== null
  return keyWords.find(({ words }) => words.filter(telling).length > words.length / 2) ?? null
}

/** The body that is meant where nothing names one: the only one that is heard, or the one that the file is about. */
function usualBody({ place, about }: Given) {
  const heard = place.bodies.filter(({ quantities }) => quantities.length > 0)
  return heard.length === 1 ? heard[0] : namedBody({ ...place, bodies: heard }, about)
}

/** The one body whose name, or whose own part of the name, stands in a text. */
export function namedBody(place: Place, text: string): Place['bodies'][number] | undefined {
  const words = ` ${wordsOf(text)} `
  const has = (part: string) => part !== '' && words.includes(` ${part} `)
  const whole = place.bodies.filter(({ name }) => has(wordsOf(name)))
  if (whole.length > 0) return whole.length === 1 ? whole[0] : undefined
  const parts = new Map<string, number>()
  for (const { name } of place.bodies)
    for (const part of new Set(wordsOf(name).split(' '))) parts.set(part, (parts.get(part) ?? 0) + 1)
  const own = place.bodies.filter(({ name }) =>
    wordsOf(name)
      .split(' ')
      .some((part) => parts.get(part) === 1 && part.length > 2 && has(part)),
  )
  return own.length === 1 ? own[0] : undefined
}

/** What a remembered layout still can do here. */
export function stillFitting(layout: Layout, place: Place): ColumnTarget[] {
  const heard = new Map(place.bodies.map(({ id, quantities }) => [id, quantities]))
  return layout.columns.filter(({ bodyId, quantity }) => heard.get(bodyId)?.includes(quantity))
}

export const anyChannel = ({ bodies }: Place) =>
  bodies.some(({ quantities }) => quantities.some((q) => QUANTITIES.includes(q)))
