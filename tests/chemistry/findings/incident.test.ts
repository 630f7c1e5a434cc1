import { type IncidentFacts, type Phrase, renderPhrase, type Snapshot } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { INCIDENT_MS, incident, test, withIncident } from '../incidents/water.ts'
import { ACID_PUMP, controller, find, judge, kinds, MINUTE, NOW, severityOf, snapshot } from '../support.ts'

const opened = (one: IncidentFacts, values = {}, body: Partial<Snapshot['body']> = {}) =>
  withIncident(one, values, body)
const words = (phrases: readonly Phrase[]) => phrases.map((phrase) => renderPhrase(phrase, 'us')).join(' ')
const sentence = (given: Snapshot, nowMs = NOW) => {
  const found = find(given, 'incidentOpen', undefined, nowMs)
  return found ? renderPhrase(found.sentence, 'us') : ''
}

describe('an open incident', () => {
  it('closes the body, however good its water is', () => {
    const given = opened(incident('formedStool'))
    expect(severityOf(given, 'incidentOpen')).toBe('close')
    expect(judge(given).standing).toMatchObject({ severity: 'close' })
    expect(find(given, 'incidentOpen')).toMatchObject({ family: 'hazard', subject: 'incident', sinceMs: INCIDENT_MS })
  })

  it('is not there without one: the same water is fine', () => {
    expect(kinds(snapshot())).not.toContain('incidentOpen')
    expect(judge({ ...opened(incident('formedStool')), incidents: [] }).standing.severity).toBe('fine')
  })

  it('is one finding each, told apart by its id', () => {
    const given = {
      ...opened(incident('vomit')),
      incidents: [incident('vomit'), { ...incident('diarrhea'), id: 'other' }],
    }
    expect(
      judge(given)
        .findings.filter(({ kind }) => kind === 'incidentOpen')
        .map(({ subject }) => subject),
    ).toEqual(['incident', 'other'])
  })

  it.each([
    [
      [],
      'Diarrhea in the water: bathers stay out. The contact time has not started: no test since shows 20 ppm free chlorine under the right conditions.',
    ],
    [
      [test(0, 20), test(300, 20)],
      'Diarrhea in the water: bathers stay out. 39 % of the contact time is proved by tests.',
    ],
    [
      [test(0, 20), test(300, 20), test(310, 5)],
      'Diarrhea in the water: bathers stay out. 39 % of the contact time is proved by tests, and it stands still: the last test does not count.',
    ],
    [
      [test(0, 20), test(764.9, 20)],
      'Diarrhea in the water: bathers stay out. 99 % of the contact time is proved by tests.',
    ],
    [
      [test(0, 20), test(765, 20)],
      'Diarrhea in the water: bathers stay out. The contact time is reached; the checks before opening are left.',
    ],
  ])('after %j says how far it is', (readings, words) => {
    expect(sentence(opened(incident('diarrhea', readings)))).toBe(words)
  })

  it('says when cyanuric acid is missing, and when nothing published fits', () => {
    expect(sentence(opened(incident('diarrhea'), { cyanuricAcidMgL: undefined }))).toMatch(
      /Cyanuric acid must be tested/,
    )
    expect(sentence(opened(incident('vomit'), { cyanuricAcidMgL: 40 }))).toMatch(/the health department decides/)
    expect(sentence(opened(incident('vomit'), {}, { sanitizerSystem: 'bromine' }))).toMatch(
      /the health department decides/,
    )
  })

  it('carries the numbers it rests on, what to do, and the cautions of dosing', () => {
    const given = opened(incident('diarrhea', [test(0, 20), test(300, 20)]))
    const found = find(given, 'incidentOpen', undefined, INCIDENT_MS + 400 * MINUTE)
    expect(found?.evidence.map(({ label, quantity }) => `${label} ${quantity.value}`)).toEqual([
      'Free chlorine 20',
      'pH 7.4',
      'Water temperature 27',
      'CT proved 6000',
      'CT needed 15300',
    ])
    expect(found?.advice.map((phrase) => renderPhrase(phrase, 'us')).join(' ')).toMatch(
      /Hold 20 ppm at pH 7.5 or lower; test both and the temperature at least every hour. .*page of the incident/,
    )
    expect(found?.cautions).toEqual(expect.arrayContaining(['localCodeFirst', 'neverTogether', 'protectiveEquipment']))
  })

  it('names the rule by which the code profile closes, where it has one', () => {
    const given = opened(incident('vomit', [test(0, 3)]))
    const advice = (key: string) => words(find(given, 'incidentOpen', key)?.advice ?? [])
    expect(advice('ca-qc')).toMatch(/The code profile closes for it: .*s\. 17/)
    expect(advice('cdc-mahc')).not.toMatch(/The code profile closes/)
  })

  it('comes before everything else that closes', () => {
    const given = { ...opened(incident('diarrhea'), { ph: 8.4 }), feeders: [ACID_PUMP] }
    expect(kinds(given)[0]).toBe('incidentOpen')
  })
})

describe('what is raised on purpose', () => {
  const high = { freeChlorineMgL: 22, totalChlorineMgL: 22 }
  it('is not called wrong while the water is disinfected: to let it fall would undo the work', () => {
    const running = opened(incident('diarrhea', [test(0, 22)]), high)
    expect(kinds({ ...running, incidents: [] })).toContain('freeChlorineHigh')
    expect(kinds(running)).not.toContain('freeChlorineHigh')
    expect(judge(running).standing.severity).toBe('close')
  })

  it('is called wrong again once the contact time is reached', () => {
    const reached = opened(incident('diarrhea', [test(0, 22), test(800, 22)]), high)
    expect(kinds(reached)).toContain('freeChlorineHigh')
  })

  it('is called wrong where nobody knows which level to hold', () => {
    expect(kinds(opened(incident('vomit'), { ...high, cyanuricAcidMgL: 40 }))).toContain('freeChlorineHigh')
    expect(kinds(opened(incident('vomit'), { ...high, cyanuricAcidMgL: undefined }))).not.toContain('freeChlorineHigh')
  })

  it('is the ORP over its range with it, not one under it', () => {
    const orp = (orpMv: number) => ({
      ...opened(incident('diarrhea', [test(0, 22)]), high),
      controller: controller({ orpMv }, []),
    })
    expect(kinds({ ...orp(950), incidents: [] })).toContain('orpOutOfRange')
    expect(kinds(orp(950))).not.toContain('orpOutOfRange')
    expect(kinds(orp(550))).toContain('orpOutOfRange')
  })

  it('is the low pH only where the protocol asks for it, and never under 6.5', () => {
    const at = (ph: number, cyanuricAcidMgL: number) =>
      opened(incident('diarrhea', [test(0, 41, { ph })]), { ...high, ph, cyanuricAcidMgL })
    expect(kinds(at(6.5, 40))).not.toContain('phLow')
    expect(kinds(at(6.5, 0))).toContain('phLow')
    expect(severityOf(at(6.4, 40), 'phLow')).toBe('close')
  })
})

describe('when time alone changes it', () => {
  it('at the earliest moment at which it can be complete', () => {
    const given = opened(incident('formedStool', [test(1400, 3)]))
    const complete = INCIDENT_MS + 1430 * MINUTE
    const now = INCIDENT_MS + 1405 * MINUTE
    expect(judge(given, undefined, now).dueAtMs).toBeLessThanOrEqual(complete)
    const advice = (at: number) =>
      find(given, 'incidentOpen', undefined, at)
        ?.advice.map((phrase) => renderPhrase(phrase, 'us'))
        .join(' ')
    expect(advice(complete - 1)).not.toMatch(/complete by now/)
    expect(advice(complete)).toMatch(/complete by now: test/)
  })

  it('when the time of a test has come that a clock set ahead', () => {
    const given = opened(incident('formedStool', [test(0, 3), test(40, 3)]))
    const at = INCIDENT_MS + 35 * MINUTE
    expect(sentence(given, at)).toMatch(/0 % of the contact time/)
    expect(judge(given, undefined, at).dueAtMs).toBeLessThanOrEqual(INCIDENT_MS + 40 * MINUTE)
    expect(sentence(given, INCIDENT_MS + 40 * MINUTE)).toMatch(/is reached/)
  })
})
