import { assess, type Snapshot } from '@sightglass/chemistry'
import type { Reading } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import { withoutTest, withTest } from '../../../apps/web/shared/known.ts'
import { INCIDENT_MS, incident, test, withIncident } from '../../chemistry/incidents/water.ts'
import { MINUTE, profile } from '../../chemistry/support.ts'

const at = (minutes: number) => INCIDENT_MS + minutes * MINUTE
const opened: Snapshot = withIncident(incident('formedStool', [test(5, 3)]))
const readings = ({ incidents }: Snapshot) =>
  incidents[0]?.readings.map(({ atMs, freeChlorineMgL }) => [atMs, freeChlorineMgL])
const sentence = (snapshot: Snapshot, minutes: number) =>
  assess(snapshot, profile(), at(minutes)).findings.find(({ kind }) => kind === 'incidentOpen')?.sentence.text

describe('a test that is being typed, while an incident is open', () => {
  const values = { freeChlorineMgL: 2.5, ph: 7.4, tempC: 27 }

  it('counts for its contact time before it is stored', () => {
    const typed = withTest(opened, values, at(35))
    expect(readings(typed)).toEqual([
      [at(5), 3],
      [at(35), 2.5],
    ])
    expect(sentence(opened, 36)).toMatch(/of the contact time is proved/)
    expect(sentence(typed, 36)).toMatch(/The contact time is reached/)
    expect(readings(opened)).toHaveLength(1)
  })

  it('does not count when it is older than the incident, or tells nothing of chlorine', () => {
    expect(readings(withTest(opened, values, at(-5)))).toHaveLength(1)
    expect(readings(withTest(opened, { ph: 7.4 }, at(35)))).toHaveLength(1)
  })

  it('takes its old place when it is one that is being corrected', () => {
    const old = { id: 'a', at: new Date(at(5)).toISOString(), values: { freeChlorineMgL: 3 } } as Reading
    expect(readings(withoutTest(opened, old, []))).toEqual([])
  })
})
