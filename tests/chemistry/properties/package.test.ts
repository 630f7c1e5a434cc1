import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import {
  CAUTION_KEYS,
  CAUTIONS,
  FINDING_KINDS,
  FINDING_TITLES,
  SEVERITIES,
  SEVERITY_WORDS,
  SOURCES,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'

const folder = fileURLToPath(new URL('../../../packages/chemistry/src/', import.meta.url))
const files = readdirSync(folder, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => [name, readFileSync(`${folder}${name}`, 'utf8')] as const)

const FORBIDDEN = [
  ['a clock', /Date\.now|new Date\(\s*\)|performance\.now/],
  ['chance', /Math\.random|\bcrypto\b/],
  ['the world outside', /\bprocess\.|\bfetch\(|\brequire\(|import\(/],
] as const

describe('the package is pure', () => {
  it('has files to look at', () => {
    expect(files.length).toBeGreaterThan(30)
  })

  it.each(files)('%s imports nothing but its own files, and knows no clock and no chance', (_name, text) => {
    const imports = [...text.matchAll(/from '([^']+)'/g)].map(([, from]) => from as string)
    for (const from of imports) expect(from).toMatch(/^\.{1,2}\/.*\.ts$/)
    for (const [what, pattern] of FORBIDDEN) expect(text, what).not.toMatch(pattern)
  })

  it('the check itself can fail', () => {
    expect('const now = Date.now()').toMatch(FORBIDDEN[0][1])
    expect('new Date()').toMatch(FORBIDDEN[0][1])
    expect('Math.random()').toMatch(FORBIDDEN[1][1])
  })
})

describe('sources', () => {
  const named = new Set(
    files
      .filter(([name]) => name !== 'sources.ts')
      .flatMap(([, text]) =>
        [...text.matchAll(/@source ([^\n]*(?:\n \* [^@\n]*)*)/g)].map(([, words]) => words as string),
      ),
  )
  it('each that a docstring names is in the register, and each in the register is named', () => {
    const words = [...named].join(' ')
    for (const key of Object.keys(SOURCES)) expect(words, key).toContain(key)
    for (const text of named) {
      expect(
        Object.keys(SOURCES).some((key) => text.includes(key)),
        `@source ${text}`,
      ).toBe(true)
    }
  })
})

describe('words', () => {
  it('are there for every kind, severity and caution', () => {
    expect(Object.keys(FINDING_TITLES).sort()).toEqual(Object.keys(FINDING_KINDS).sort())
    expect(Object.keys(SEVERITY_WORDS).sort()).toEqual([...SEVERITIES].sort())
    expect(Object.keys(CAUTIONS).sort()).toEqual([...CAUTION_KEYS].sort())
  })
})
