import { type Assessment, assess, profileByKey, type Severity } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { makeCompany } from '../../seed/src/company/index.ts'
import { SCENARIOS, type Scenario } from '../../seed/src/scenarios/index.ts'
import { snapshotOf } from './snapshot.ts'

interface Judged {
  name: string
  scenario: keyof typeof SCENARIOS
  assessment: Assessment
}

function judgeAll(now: string): Judged[] {
  const { facilities, fromMs, nowMs } = makeCompany({ nowMs: Date.parse(now) })
  return facilities.flatMap((facility) => {
    const profile = profileByKey(facility.profileKey)
    if (!profile) throw new Error(`There is no profile ${facility.profileKey}.`)
    return facility.bodies.map((body) => ({
      name: `${facility.name}, ${body.name}`,
      scenario: body.scenario,
      assessment: assess(snapshotOf(body, fromMs, nowMs, profile), profile, nowMs),
    }))
  })
}

// a winter morning and a summer evening: the demo is seeded at any moment
describe.each(['2026-11-25T12:10:00Z', '2027-07-04T23:20:00Z'])('the morning list of the demo, seeded at %s', (now) => {
  const judged = judgeAll(now)
  const count = (severity: Severity) =>
    judged.filter(({ assessment }) => assessment.standing.severity === severity).length

  it('has a believable spread: most are fine, some need a person, a few are closed', () => {
    expect(count('close')).toBeGreaterThanOrEqual(5)
    expect(count('close')).toBeLessThanOrEqual(10)
    expect(count('act')).toBeGreaterThanOrEqual(9)
    expect(count('act')).toBeLessThanOrEqual(17)
    expect(count('unheard')).toBeGreaterThanOrEqual(2)
    expect(count('unheard')).toBeLessThanOrEqual(5)
    expect(count('watch')).toBeGreaterThanOrEqual(9)
    expect(count('watch')).toBeLessThanOrEqual(18)
  })

  it('shows healthy bodies as fine, and never as more than watch', () => {
    const healthy = judged.filter(({ scenario }) => scenario === 'healthy')
    const notFine = healthy.filter(({ assessment }) => assessment.standing.severity !== 'fine')
    expect(notFine.length).toBeLessThanOrEqual(5)
    expect(notFine.filter(({ assessment }) => assessment.standing.severity !== 'watch')).toEqual([])
  })

  it('finds in each troubled body what its scenario is about', () => {
    const missed = judged.filter(({ scenario, assessment }) => {
      const { expect: expected }: Scenario = SCENARIOS[scenario]
      return expected.length > 0 && !assessment.findings.some(({ kind }) => expected.includes(kind))
    })
    expect(missed.map(({ name, scenario }) => `${scenario}: ${name}`)).toEqual([])
  })
})
