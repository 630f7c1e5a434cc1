// What no tool that changes operators does: every number of the package is changed, one at a time, and the tests are asked
// whether they notice.
//   npm run mutate:numbers                       all of them
//   npm run mutate:numbers equilibria dosing     those in files whose path holds one of the words
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseSync } from '@swc/core'
import { bundleTests } from './suite.mjs'

const root = fileURLToPath(new URL('../..', import.meta.url))
const sources = join(root, 'packages/chemistry/src')
// lists of words, types, citations: their numbers are years and sections
const LEFT_OUT = /(^|\/)(index|finding|profile|snapshot|sources|vocabulary|words|citations)\.ts$|\.types\.ts$/
const MOST_HITS = 1e8

/** @typedef {{ id: number, file: string, line: number, text: string, tests: Set<string> }} Literal */

/** @type {Literal[]} */
const literals = []
const words = process.argv.slice(2)
let active = -1
let current = ''
let hits = 0

/** Small whole numbers by one, all others by a hundredth. @param {number} value */
const changed = (value) => (Number.isInteger(value) && Math.abs(value) < 20 ? value + 1 : value * 1.01)

Object.assign(globalThis, {
  chemistryNumber(/** @type {number} */ id, /** @type {number} */ value) {
    if (active < 0) literals[id]?.tests.add(current)
    if (++hits > MOST_HITS) throw new Error('It does not end')
    return id === active ? changed(value) : value
  },
})

/** @type {import('./suite.mjs').Rewrite} */
function rewrite(text, path) {
  const file = path.slice(sources.length + 1)
  if (LEFT_OUT.test(path) || (words.length > 0 && !words.some((word) => file.includes(word)))) return text
  // a number in front tells where the parser begins to count, in bytes
  const [first, ...found] = numbersIn(parseSync(`0;${text}`, { syntax: 'typescript' }))
  const bytes = Buffer.from(text)
  let rest = 0
  const parts = found.map(([start, end]) => {
    const [from, to] = [start - (first?.[0] ?? 0) - 2, end - (first?.[0] ?? 0) - 2]
    const before = bytes.subarray(rest, from).toString()
    const number = bytes.subarray(from, to).toString()
    rest = to
    const id = literals.length
    const line = bytes.subarray(0, from).toString().split('\n').length
    literals.push({ id, file, line, text: number, tests: new Set() })
    return `${before}chemistryNumber(${id}, ${number})`
  })
  return parts.join('') + bytes.subarray(rest).toString()
}

/** Numbers that are reckoned with: not types, not places in a list, not names of fields. @returns {[number, number][]} */
function numbersIn(/** @type {any} */ node) {
  if (!node || typeof node !== 'object') return []
  if (Array.isArray(node)) return node.flatMap(numbersIn)
  if (node.type === 'NumericLiteral') return [[node.span.start, node.span.end]]
  if (/^Ts(?!AsExpression|SatisfiesExpression|NonNullExpression|ConstAssertion)/.test(node.type ?? '')) return []
  if (node.type === 'Computed') return []
  return Object.entries(node).flatMap(([key, value]) => (key === 'key' ? [] : numbersIn(value)))
}

const loading = (/** @type {string} */ file) => `${file} is loaded`

/** @returns {Promise<string>} the test that notices, '' when none does */
async function noticing(
  /** @type {import('./suite.mjs').Suite} */ suite,
  /** @type {Literal} */ { id, tests },
  all = false,
) {
  active = id
  hits = 0
  try {
    const files = suite.files.filter((file) => all || [...tests].some((test) => test.startsWith(`${file} `)))
    for (const test of await suite.load(files)) {
      if (broken.has(test.id) || !(all || tests.has(test.id) || tests.has(loading(test.file)))) continue
      await test.run()
    }
    return ''
  } catch (error) {
    return String(error)
  } finally {
    active = -1
  }
}

const suite = await bundleTests(root, rewrite)
const broken = new Set()
for (const test of await suite.load(undefined, (file) => {
  current = loading(file)
})) {
  current = test.id
  try {
    await test.run()
  } catch {
    broken.add(test.id)
    console.log(`Left out, because it fails unchanged: ${test.id}`)
  }
}

/** @type {Map<string, { all: number, noticed: number }>} */
const tally = new Map()
for (const literal of literals) {
  // what is only read while the package itself is loaded may matter to any test
  const atLoad = [...literal.tests].every((test) => test === '')
  const noticed = await noticing(suite, literal, atLoad)
  const count = tally.get(literal.file) ?? { all: 0, noticed: 0 }
  count.all++
  if (noticed) count.noticed++
  else {
    const line = readFileSync(join(sources, literal.file), 'utf8').split('\n')[literal.line - 1]?.trim()
    console.log(
      `${literal.file}:${literal.line}  ${literal.text} → ${changed(Number(literal.text.replaceAll('_', '')))}   ${line}`,
    )
  }
  tally.set(literal.file, count)
}
console.log()
for (const [file, { all, noticed }] of [...tally].sort()) console.log(`${noticed} of ${all}  ${file}`)
const noticed = [...tally.values()].reduce((sum, count) => sum + count.noticed, 0)
console.log(
  `${noticed} of ${literals.length} numbers (${((100 * noticed) / literals.length).toFixed(1)} %): a change is noticed.`,
)
