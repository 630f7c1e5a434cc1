import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { exampleFiles } from '../../seed/src/examples/files.ts'

const folder = new URL('../../seed/examples/', import.meta.url)
const files = exampleFiles()

describe('the example files', () => {
  it('are those that the simulation writes, byte for byte', () => {
    expect(readdirSync(folder).sort()).toEqual(files.map(({ name }) => name).sort())
    for (const { name, text } of files) expect(readFileSync(new URL(name, folder), 'utf8'), name).toBe(text)
  })

  it.each(files)('$name is small and not empty', ({ text }) => {
    expect(text.length).toBeLessThan(200_000)
    expect(text.split('\n').length).toBeGreaterThan(200)
  })

  it('hold one o’clock twice in the night in which the clocks go back', () => {
    const { text } = files.find(({ name }) => name.includes('autumn')) ?? { text: '' }
    expect(text.match(/11\/01\/2026 01:05/g)).toHaveLength(2)
    expect(text.match(/11\/01\/2026 03:05/g)).toHaveLength(1)
  })

  it('include one cut off in its last row', () => {
    const { text } = files.find(({ name }) => name.includes('messy')) ?? { text: '' }
    expect(text.endsWith('\n')).toBe(false)
  })
})
