// docs/profiles.md says what the code does: its rows are held against the published profiles.
import { readFileSync } from 'node:fs'
import { PROFILES } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'

const page = readFileSync(new URL('../../../docs/profiles.md', import.meta.url), 'utf8')
const section = (heading: string) => page.split(`\n## ${heading}\n`)[1]?.split('\n## ')[0] ?? ''
const rowsOf = (heading: string) =>
  section(heading)
    .split('\n')
    .filter((line) => line.startsWith('| '))
    .slice(2)

describe('docs/profiles.md', () => {
  it('tells of every shipped profile, its edition and what was not read, and of no other', () => {
    expect(rowsOf('What is shipped, and what was not read')).toEqual(
      PROFILES.map(({ name, edition, notRead }) => `| ${name} | ${edition} | ${notRead} |`),
    )
  })

  it('names the section of every rule of law for tests', () => {
    const words = rowsOf('How often to test by hand').join('\n')
    const sections = PROFILES.flatMap(({ tests }) => tests)
      .filter(({ citation }) => citation.authority === 'law')
      .map(
        ({ citation }) =>
          /(C412|65523\([ab]\)|92\.47|10\.17\.01\.46 ?[AB]?|46 D|6-1\.11\(c\)|s\. 11|regulation 48)/.exec(
            citation.section,
          )?.[1],
      )
    expect(sections).not.toContain(undefined)
    for (const one of new Set(sections)) expect(words).toContain(one?.replace(/ B$/, ''))
  })
})
