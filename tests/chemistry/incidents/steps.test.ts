import {
  contactTime,
  type IncidentFacts,
  type IncidentWater,
  renderPhrase,
  reopeningObstacles,
  responseSteps,
  SOURCES,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { HOUR, MINUTE, NOW, profile } from '../support.ts'
import { INCIDENT_MS, incident, stabilized, test, water, withIncident } from './water.ts'

const stepsOf = (
  one: IncidentFacts,
  of: IncidentWater = water(),
  minutes = 600,
  obstacles: Parameters<typeof responseSteps>[3] = null,
) => {
  const nowMs = INCIDENT_MS + minutes * MINUTE
  return responseSteps(one, contactTime(one, of, nowMs), nowMs, obstacles)
}
const stateOf = (steps: ReturnType<typeof stepsOf>) => Object.fromEntries(steps.map(({ key, state }) => [key, state]))
const nowIn = (steps: ReturnType<typeof stepsOf>) => steps.filter(({ state }) => state === 'now').map(({ key }) => key)
const wordsOf = (steps: ReturnType<typeof stepsOf>, key: string) => {
  const step = steps.find((one) => one.key === key)
  return step ? [step.text, ...step.notes].map((phrase) => renderPhrase(phrase, 'us')).join(' ') : ''
}

describe('what to do after an incident', () => {
  it('begins with getting everyone out, before anything is tested', () => {
    const steps = stepsOf(incident('diarrhea'))
    expect(nowIn(steps)).toEqual(['clear'])
    expect(wordsOf(steps, 'clear')).toMatch(/also of every other water on the same filter/)
    expect(wordsOf(steps, 'remove')).toMatch(/Do not vacuum/)
  })

  it.each([
    ['pH too high', [test(10, 3, { ph: 7.8 })], 'ph'],
    ['pH not tested', [test(10, 3, { ph: null })], 'ph'],
    ['water too cold', [test(10, 3, { tempC: 20 })], 'temperature'],
    ['too little chlorine', [test(10, 3)], 'raise'],
    ['level held', [test(10, 21)], 'hold'],
    ['level lost again', [test(10, 21), test(60, 18)], 'raise'],
    ['pH drifted up meanwhile', [test(10, 21), test(60, 21, { ph: 7.6 })], 'ph'],
  ])('%s: the next step follows from the newest test', (_what, readings, key) => {
    expect(nowIn(stepsOf(incident('diarrhea', readings)))).toEqual([key])
  })

  it('names the level, one to aim for, and only chlorine without stabilizer', () => {
    expect(wordsOf(stepsOf(incident('diarrhea', [test(10, 3)])), 'raise')).toMatch(
      /to 20 ppm, better to 22 ppm, with chlorine that holds no stabilizer/,
    )
    expect(wordsOf(stepsOf(incident('formedStool', [test(10, 1)])), 'hold')).toMatch(/CT is 60 mg·min\/L: 30 min/)
    expect(wordsOf(stepsOf(incident('diarrhea', [test(10, 3)])), 'hold')).toMatch(/CT is 15,300 mg·min\/L: 765 min/)
  })

  it('says when it can be complete at the earliest, counted from the last test, and asks for a test then', () => {
    const one = incident('formedStool', [test(10, 3), test(30, 3)])
    expect(wordsOf(stepsOf(one, water(), 31), 'hold')).toMatch(
      /complete 10 min after that test; only a test then proves it/,
    )
    expect(wordsOf(stepsOf(one, water(), 40), 'hold')).toMatch(/complete by now: test/)
  })

  it('says why the time stands still, and that what was proved stays', () => {
    const one = incident('diarrhea', [test(0, 21), test(60, 21), test(120, 18)])
    const words = wordsOf(stepsOf(one), 'hold')
    expect(words).toMatch(/stands still: Free chlorine 18 ppm is under the 20 ppm.*What was proved before stays/)
  })

  it('tells of a long stretch that nobody saw', () => {
    const long = incident('diarrhea', [test(0, 21), test(300, 21)])
    expect(wordsOf(stepsOf(long), 'hold')).toMatch(/nobody tested for 5 h: that time counts at the lower/)
    const short = incident('diarrhea', [test(0, 21), test(120, 21), test(240, 21)])
    expect(wordsOf(stepsOf(short), 'hold')).not.toMatch(/nobody tested/)
  })

  it('once the time is reached turns to filter and level, then to closing', () => {
    const one = incident('formedStool', [test(0, 12), test(40, 12)])
    expect(nowIn(stepsOf(one))).toEqual(['filter', 'lower'])
    const still = [{ text: 'Free chlorine is over the maximum.', quantities: [] }]
    expect(nowIn(stepsOf(one, water(), 600, still))).toEqual(['filter', 'lower'])
    expect(wordsOf(stepsOf(one, water(), 600, still), 'lower')).toMatch(/is over the maximum/)
    expect(nowIn(stepsOf(one, water(), 600, []))).toEqual(['filter', 'close'])
    expect(stateOf(stepsOf(one, water(), 600, []))).toMatchObject({
      ph: 'done',
      raise: 'done',
      hold: 'done',
      lower: 'done',
    })
  })

  it('does not call the way back done before the way there is', () => {
    const one = incident('diarrhea', [test(10, 5)])
    expect(stateOf(stepsOf(one, water(), 600, []))).toMatchObject({ raise: 'now', lower: 'later', close: 'later' })
    const still = [{ text: 'Free chlorine is over the maximum.', quantities: [] }]
    expect(wordsOf(stepsOf(one, water(), 600, still), 'lower')).not.toMatch(/over the maximum/)
  })

  it('asks for cyanuric acid first where it decides, and says what becomes of the tests made meanwhile', () => {
    const unknown = water({ cyanuricAcid: null })
    const steps = stepsOf(incident('diarrhea', [test(10, 21)]), unknown)
    expect(nowIn(steps)).toEqual(['cyanuricAcid'])
    expect(wordsOf(steps, 'cyanuricAcid')).toMatch(/count as soon as it is known/)
    expect(steps.map(({ key }) => key)).not.toContain('raise')
  })

  it('sends to the health department where nothing published fits', () => {
    const steps = stepsOf(incident('vomit', [test(10, 5)]), stabilized(40))
    expect(nowIn(steps)).toEqual(['ask'])
    expect(wordsOf(steps, 'ask')).toMatch(/health department.*or drain/)
  })

  it('names whose step it is; what is common practice names nobody', () => {
    const steps = stepsOf(incident('diarrhea', [test(10, 21)]))
    const citation = (key: string) => steps.find((step) => step.key === key)?.citation
    expect(citation('remove')).toBe(SOURCES.cdcMmwr2001.citation)
    expect(citation('ph')).toBe(SOURCES.mahc6523.citation)
    expect(citation('filter')).toBeNull()
    // the 2001 notice speaks of feces
    expect(stepsOf(incident('vomit')).find(({ key }) => key === 'remove')?.citation).toBeNull()
  })
})

describe('what keeps bathers out besides the contact time', () => {
  const reached = incident('formedStool', [test(0, 3), test(40, 3)])
  const obstacles = (values: object, given: { hoursAgo?: number; body?: object; one?: IncidentFacts } = {}) => {
    const { hoursAgo = 2, body = {}, one = reached } = given
    const snapshot = withIncident(one, values, body)
    for (const measured of Object.values(snapshot.tests)) measured.atMs = NOW - hoursAgo * HOUR
    const contact = contactTime(one, water(), NOW)
    return reopeningObstacles(snapshot, profile(), one, contact, NOW).map((phrase) => renderPhrase(phrase, 'us'))
  }

  it('is nothing when sanitizer and pH were tested since and bathers may be in them', () => {
    expect(obstacles({})).toEqual([])
  })

  it.each([
    [
      'free chlorine still over the maximum',
      { freeChlorineMgL: 20, totalChlorineMgL: 20 },
      /Free chlorine 20 ppm is over/,
    ],
    ['free chlorine gone', { freeChlorineMgL: 0.2, totalChlorineMgL: 0.4 }, /Free chlorine 0.2 ppm is under/],
    ['pH still low', { ph: 6.4 }, /pH 6.4 is under/],
    ['pH too high', { ph: 8.2 }, /pH 8.2 is over/],
  ])('%s', (_what, values, words) => {
    const lines = obstacles(values)
    expect(lines.join()).toMatch(words)
    expect(lines).toHaveLength(1)
  })

  it('a test made before the contact time was reached tells nothing of the water now', () => {
    expect(obstacles({}, { hoursAgo: 23.6 })).toEqual([
      'No test of free chlorine since the contact time was reached is entered.',
      'No test of pH since the contact time was reached is entered.',
    ])
    expect(obstacles({}, { hoursAgo: 25, one: incident('formedStool') })[0]).toBe(
      'No test of free chlorine since the incident is entered.',
    )
  })

  it('of bromine water is judged by its bromine', () => {
    const body = { sanitizerSystem: 'bromine' as const }
    expect(obstacles({ freeChlorineMgL: undefined, bromineMgL: 4 }, { body })).toEqual([])
    expect(obstacles({ freeChlorineMgL: undefined }, { body }).join()).toMatch(/No test of bromine/)
  })

  it('leaves alone what is not about level and pH: the body stays closed for it anyway', () => {
    expect(obstacles({ cyanuricAcidMgL: 200 })).toEqual([])
  })
})
