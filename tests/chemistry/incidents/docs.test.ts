// docs/incidents.md says what the code does: its tables are read from the page and worked out anew.
import { readFileSync } from 'node:fs'
import { contactTime, PROTOCOLS } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { MINUTE } from '../support.ts'
import { INCIDENT_MS, incident, test, water } from './water.ts'

const page = readFileSync(new URL('../../../docs/incidents.md', import.meta.url), 'utf8')
/** The cells of the rows under a table's head. */
function table(head: string): string[][] {
  const lines = page.split('\n')
  const from = lines.findIndex((line) => line.startsWith(`| ${head} |`))
  expect(from, head).toBeGreaterThan(-1)
  const rest = lines.slice(from + 2)
  const end = rest.findIndex((line) => !line.startsWith('|'))
  return rest.slice(0, end).map((line) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  )
}
const number = (text: string | undefined) => Number(text?.replaceAll(',', '').replace(/ .*/, ''))

describe('docs/incidents.md', () => {
  it('lists the levels and times as they are', () => {
    const rows = table('kind | water').map(([, , level, minutes, ph, ct]) => [level, minutes, ph, ct].map(number))
    const { formedStool, vomit, diarrhea, diarrheaStabilized } = PROTOCOLS
    expect(rows).toEqual(
      [formedStool, vomit, diarrhea, diarrheaStabilized].map((one) => [
        one.freeChlorineMgL,
        one.holdMin,
        one.phMax,
        one.ctMgMinL,
      ]),
    )
  })

  it('works its example out as the code does', () => {
    const rows = table('minutes | free chlorine')
    const readings = rows.map(([minutes, chlorine, ph]) => test(number(minutes), number(chlorine), { ph: number(ph) }))
    const untilMs = INCIDENT_MS + 1440 * MINUTE
    const contact = contactTime(incident('diarrhea', readings), water(), untilMs)
    expect(contact.readings.map(({ counts, ctMgMinL }) => [counts, ctMgMinL])).toEqual(
      rows.map(([, , , counts, , ct]) => [counts === 'yes', number(ct)]),
    )
    let before = 0
    for (const [, , , , adds, ct] of rows) {
      expect(number(ct) - before).toBe(number(adds))
      before = number(ct)
    }
    expect(Math.floor((contact.share ?? 0) * 100)).toBe(59)
    expect(page).toContain('9,120 of 15,300 is 59 %')
    const earliest = ((contact.earliestMs ?? 0) - INCIDENT_MS) / MINUTE
    expect(earliest.toFixed(1)).toBe('1060.9')
    expect(page).toContain('complete 1,060.9 minutes after the incident')
  })

  it('names every kind of water for which it makes nothing up', () => {
    for (const words of ['health department', 'bromine', 'more than 50 mg/L of cyanuric acid', '15 mg/L or less'])
      expect(page).toContain(words)
  })
})
