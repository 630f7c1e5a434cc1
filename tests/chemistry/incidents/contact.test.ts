import { type ContactTime, contactTime, type IncidentReading, PROTOCOLS, renderPhrase } from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { MINUTE, NOW } from '../support.ts'
import { INCIDENT_MS, incident, stabilized, test, water } from './water.ts'

const formed = (readings: IncidentReading[], untilMs = NOW) =>
  contactTime(incident('formedStool', readings), water(), untilMs)
const diarrhea = (readings: IncidentReading[], untilMs = NOW) =>
  contactTime(incident('diarrhea', readings), water(), untilMs)
const minutesOf = (ms: number | null) => (ms === null ? null : (ms - INCIDENT_MS) / MINUTE)

describe('the contact time', () => {
  it('starts once the level is measured, and not with the incident', () => {
    expect(diarrhea([])).toMatchObject({ state: 'notStarted', ctMgMinL: 0, startedAtMs: null, asOfMs: null, share: 0 })
    const low = diarrhea([test(10, 5), test(60, 19.9)])
    expect(low).toMatchObject({ state: 'notStarted', ctMgMinL: 0, startedAtMs: null })
    expect(minutesOf(low.asOfMs)).toBe(60)
    const started = diarrhea([test(10, 5), test(60, 20)])
    expect(started).toMatchObject({ state: 'running', ctMgMinL: 0 })
    expect(minutesOf(started.startedAtMs)).toBe(60)
  })

  it('of 12.75 hours at 20 mg/L is CT 15,300, to the minute (CDC 2008)', () => {
    const almost = diarrhea([test(0, 20), test(764, 20)])
    expect(almost).toMatchObject({ state: 'running', ctMgMinL: 15_280 })
    expect(almost.share).toBeLessThan(1)
    const reached = diarrhea([test(0, 20), test(765, 20)])
    expect(reached).toMatchObject({ state: 'reached', ctMgMinL: 15_300, share: 1, earliestMs: null })
    expect(minutesOf(reached.reachedAtMs)).toBe(765)
  })

  it('at another level is CT by level: 40 mg/L for 382.5 minutes (arithmetic)', () => {
    const reached = diarrhea([test(0, 40), test(400, 40)])
    expect(reached.state).toBe('reached')
    expect(minutesOf(reached.reachedAtMs)).toBe(382.5)
  })

  it('between two tests counts the lower level', () => {
    expect(diarrhea([test(0, 30), test(100, 20)]).ctMgMinL).toBe(2000)
    expect(diarrhea([test(0, 20), test(100, 30)]).ctMgMinL).toBe(2000)
    expect(diarrhea([test(0, 20), test(100, 30), test(200, 24)]).ctMgMinL).toBe(4400)
  })

  it('counts nothing after the newest test, however late it is', () => {
    const early = diarrhea([test(0, 20), test(60, 20)], INCIDENT_MS + 60 * MINUTE)
    expect(diarrhea([test(0, 20), test(60, 20)], NOW)).toEqual(early)
    expect(minutesOf(early.earliestMs)).toBe(765)
  })

  it('at the earliest is complete when the newest level holds', () => {
    expect(minutesOf(diarrhea([test(0, 20), test(60, 40)]).earliestMs)).toBe(60 + (15_300 - 1200) / 40)
    // formed stool: a time, which more chlorine does not shorten
    expect(minutesOf(formed([test(5, 4)]).earliestMs)).toBe(35)
  })

  it('after formed stool or vomit is a time at 2 mg/L that a higher level does not shorten', () => {
    expect(formed([test(0, 8), test(29, 8)])).toMatchObject({ state: 'running', ctMgMinL: 58 })
    expect(formed([test(0, 8), test(30, 8)])).toMatchObject({ state: 'reached', ctMgMinL: 60 })
  })

  it('in water with cyanuric acid is 30 hours at 40 mg/L and pH 6.5', () => {
    const at = (hours: number, ph = 6.5) =>
      test(hours * 60 - 12 * 60, 41, { ph, atMs: INCIDENT_MS + hours * 60 * MINUTE })
    const run = (readings: IncidentReading[]) =>
      contactTime(incident('diarrhea', readings), stabilized(30), INCIDENT_MS + 48 * 60 * MINUTE)
    expect(run([at(1), at(31)]).state).toBe('reached')
    expect(run([at(1), at(30.9)]).state).toBe('running')
    expect(run([at(1), at(31, 6.6)])).toMatchObject({ state: 'interrupted', ctMgMinL: 0 })
  })
})

describe('a test that does not count', () => {
  const whyOf = ({ readings }: ContactTime, at: number) => readings[at]?.why.map((phrase) => renderPhrase(phrase, 'us'))

  it.each([
    ['too little chlorine', { freeChlorineMgL: 19.9 }, 'Free chlorine 19.9 ppm is under the 20.0 ppm to be held.'],
    ['pH over 7.5', { ph: 7.51 }, 'pH 7.51 is over 7.50.'],
    ['no pH', { ph: null }, 'pH was not tested with it.'],
    ['cold water', { tempC: 24.9 }, 'The water at 76.8 °F is colder than 77.0 °F.'],
    ['no temperature', { tempC: null }, 'The temperature was not measured with it.'],
  ])('%s: neither the time before it nor the time after it counts', (_what, given, why) => {
    const contact = diarrhea([test(0, 22), test(60, 22, given), test(120, 22), test(180, 22)])
    expect(contact).toMatchObject({ state: 'running', ctMgMinL: 60 * 22 })
    expect(contact.readings.map(({ counts }) => counts)).toEqual([true, false, true, true])
    expect(whyOf(contact, 1)).toEqual([why])
    expect(whyOf(contact, 2)).toEqual([])
  })

  it('at exactly the limits counts', () => {
    expect(diarrhea([test(0, 20, { ph: 7.5, tempC: 25 })]).state).toBe('running')
  })

  it('says all that is wrong with it', () => {
    expect(whyOf(diarrhea([test(0, 3, { ph: 7.8, tempC: null })]), 0)).toHaveLength(3)
  })

  it('as the newest interrupts, and what was proved stays', () => {
    const contact = diarrhea([test(0, 20), test(60, 20), test(120, 12)])
    expect(contact).toMatchObject({ state: 'interrupted', ctMgMinL: 1200, earliestMs: null })
    expect(diarrhea([test(0, 20), test(60, 20), test(120, 12), test(130, 20), test(190, 20)]).ctMgMinL).toBe(2400)
  })

  it('where a level and a time are given, starts them anew: the level must be held without a break', () => {
    const formed = (...readings: IncidentReading[]) => contactTime(incident('formedStool', readings), water(), NOW)
    expect(formed(test(0, 2), test(20, 2), test(25, 1.9))).toMatchObject({
      state: 'interrupted',
      ctMgMinL: 0,
      share: 0,
    })
    const again = formed(test(0, 2), test(20, 2), test(25, 1.9), test(30, 2), test(55, 2))
    expect(again).toMatchObject({ state: 'running', ctMgMinL: 50, earliestMs: INCIDENT_MS + 60 * MINUTE })
    expect(formed(test(0, 2), test(20, 2), test(25, 1.9), test(30, 2), test(60, 2)).state).toBe('reached')
    expect(formed(test(0, 2), test(30, 2), test(35, 1.9))).toMatchObject({ state: 'reached', ctMgMinL: 60 })
  })

  it('after it is reached changes nothing: chlorine has to come down', () => {
    expect(diarrhea([test(0, 20), test(765, 20), test(800, 3)])).toMatchObject({ state: 'reached', share: 1 })
  })
})

describe('tests', () => {
  it('at one time at several places count as the worst of them, in any order', () => {
    const places = [test(60, 22), test(60, 19), test(60, 25, { ph: 7.6 })]
    for (const order of [places, [...places].reverse()]) {
      const contact = diarrhea([test(0, 20), ...order, test(120, 20)])
      expect(contact.readings).toHaveLength(3)
      expect(contact.readings[1]).toMatchObject({ freeChlorineMgL: 19, ph: 7.6, counts: false })
      expect(contact.ctMgMinL).toBe(0)
    }
  })

  it('at one time, where one of them lacks the pH, have that of the other', () => {
    expect(diarrhea([test(0, 21, { ph: null }), test(0, 20)]).state).toBe('running')
  })

  it('before the incident and after the time asked for are left out', () => {
    const contact = diarrhea([test(-10, 20), test(10, 20), test(100, 20)], INCIDENT_MS + 50 * MINUTE)
    expect(contact.readings).toHaveLength(1)
    expect(contact.ctMgMinL).toBe(0)
  })

  it('without a protocol are shown and prove nothing', () => {
    const contact = contactTime(incident('vomit', [test(0, 5), test(60, 5)]), stabilized(40), NOW)
    expect(contact).toMatchObject({ state: 'noProtocol', ctMgMinL: 0, share: null, earliestMs: null })
    expect(contact.readings.every(({ counts, why }) => !counts && why.length === 0)).toBe(true)
  })

  it('far apart are told of', () => {
    expect(diarrhea([test(0, 20), test(60, 20), test(500, 20), test(700, 3)]).longestStretchMin).toBe(440)
    expect(diarrhea([test(0, 20), test(60, 3), test(500, 20)]).longestStretchMin).toBe(0)
  })
})

describe('for any tests', () => {
  const reading = fc
    .record({
      minutes: fc.integer({ min: 0, max: 1400 }),
      freeChlorineMgL: fc.oneof(fc.double({ min: 0, max: 60, noNaN: true }), fc.constantFrom(2, 20, 40)),
      ph: fc.option(fc.oneof(fc.constant(7.4), fc.double({ min: 6, max: 8.5, noNaN: true })), { nil: null, freq: 8 }),
      tempC: fc.option(fc.oneof(fc.constant(27), fc.double({ min: 15, max: 40, noNaN: true })), { nil: null, freq: 8 }),
    })
    .map(({ minutes, freeChlorineMgL, ph, tempC }) => test(minutes, freeChlorineMgL, { ph, tempC }))
  const sorted = (readings: IncidentReading[]) => [...readings].sort((a, b) => a.atMs - b.atMs)
  const readings = fc.array(reading, { maxLength: 12 }).map(sorted)
  const kind = fc.constantFrom('formedStool', 'diarrhea', 'vomit')
  const waters = fc.constantFrom(water(), stabilized(30), stabilized(80), water({ cyanuricAcid: null }))
  const RUNS = { numRuns: 500 }

  function expectNoFall(before: ContactTime, after: ContactTime) {
    const added = after.readings.slice(before.readings.length)
    const mayStartAnew = before.state !== 'reached' && before.protocol?.countsAbove === false
    if (mayStartAnew && added.some(({ counts }) => !counts)) return
    expect(after.ctMgMinL).toBeGreaterThanOrEqual(before.ctMgMinL)
  }

  it('it never falls as time goes by, or as newer tests come, but to nothing where a level held without a break is asked for', () => {
    fc.assert(
      fc.property(kind, waters, readings, reading, fc.nat(1500), fc.nat(1500), (what, of, all, later, one, other) => {
        const [sooner, then] = [Math.min(one, other), Math.max(one, other)].map((m) => INCIDENT_MS + m * MINUTE) as [
          number,
          number,
        ]
        const at = (ms: number) => contactTime(incident(what, all), of, ms)
        expectNoFall(at(sooner), at(then))
        if (at(sooner).state === 'reached')
          expect(at(then)).toMatchObject({ state: 'reached', reachedAtMs: at(sooner).reachedAtMs })
        const newest = all.at(-1)?.atMs ?? INCIDENT_MS
        const more = [...all, { ...later, atMs: newest + 1 + (later.atMs - INCIDENT_MS) }]
        const far = NOW + 7 * 24 * 60 * MINUTE
        const [before, after] = [all, more].map((list) => contactTime(incident(what, list), of, far)) as [
          ContactTime,
          ContactTime,
        ]
        expectNoFall(before, after)
      }),
      RUNS,
    )
  })

  it('it never credits more than a level that stays at the lower of each two tests would give', () => {
    fc.assert(
      fc.property(kind, waters, readings, (what, of, all) => {
        const contact = contactTime(incident(what, all), of, NOW)
        let most = 0
        contact.readings.forEach((one, index) => {
          const before = contact.readings[index - 1]
          if (before)
            most += (Math.min(before.freeChlorineMgL, one.freeChlorineMgL) * (one.atMs - before.atMs)) / MINUTE
        })
        expect(contact.ctMgMinL).toBeLessThanOrEqual(most * (1 + 1e-9))
        if (!contact.protocol) expect(contact.ctMgMinL).toBe(0)
        const { startedAtMs, asOfMs, protocol } = contact
        if (startedAtMs === null) expect(contact.ctMgMinL).toBe(0)
        // nor more than the whole time since the start at the highest level that counts
        else if (protocol && asOfMs !== null) {
          const top = protocol.countsAbove
            ? Math.max(...all.map(({ freeChlorineMgL }) => freeChlorineMgL))
            : protocol.freeChlorineMgL
          expect(contact.ctMgMinL).toBeLessThanOrEqual(((top * (asOfMs - startedAtMs)) / MINUTE) * (1 + 1e-9))
        }
      }),
      RUNS,
    )
  })

  it('a test between two that shows the lower of them changes nothing', () => {
    fc.assert(
      fc.property(
        kind,
        waters,
        readings,
        fc.nat(20),
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (what, of, all, at, share) => {
          const contact = contactTime(incident(what, all), of, NOW)
          const [before, after] = [contact.readings[at], contact.readings[at + 1]]
          fc.pre(before !== undefined && after !== undefined)
          if (!before || !after) return
          const lower = before.freeChlorineMgL <= after.freeChlorineMgL ? before : after
          const split = { ...lower, atMs: Math.round(before.atMs + share * (after.atMs - before.atMs)) }
          fc.pre(split.atMs > before.atMs && split.atMs < after.atMs)
          // where only one of the two counts, a test like it beside it is news
          fc.pre(before.counts === after.counts)
          const again = contactTime(incident(what, sorted([...contact.readings, split])), of, NOW)
          expect(again.ctMgMinL).toBeCloseTo(contact.ctMgMinL, 6)
          expect(again.state).toBe(contact.state)
        },
      ),
      RUNS,
    )
  })

  it('a higher level in any test never gives less, a worse pH or temperature never more', () => {
    fc.assert(
      fc.property(
        kind,
        waters,
        readings,
        fc.nat(11),
        fc.double({ min: 0, max: 20, noNaN: true }),
        (what, of, all, at, more) => {
          fc.pre(at < all.length)
          const ct = (list: IncidentReading[]) => contactTime(incident(what, list), of, NOW).ctMgMinL
          const changed = (given: (one: IncidentReading) => Partial<IncidentReading>) =>
            all.map((one, index) => (index === at ? { ...one, ...given(one) } : one))
          const now = ct(all) * (1 + 1e-9)
          expect(
            ct(changed(({ freeChlorineMgL }) => ({ freeChlorineMgL: freeChlorineMgL + more }))) * (1 + 1e-9),
          ).toBeGreaterThanOrEqual(ct(all))
          expect(ct(changed(({ ph }) => ({ ph: ph === null ? null : ph + more })))).toBeLessThanOrEqual(now)
          expect(ct(changed(({ tempC }) => ({ tempC: tempC === null ? null : tempC - more })))).toBeLessThanOrEqual(now)
        },
      ),
      RUNS,
    )
  })

  it('order does not matter, nothing is NaN, and state, share and times agree', () => {
    fc.assert(
      fc.property(kind, waters, readings, (what, of, all) => {
        const contact = contactTime(incident(what, all), of, NOW)
        expect(contactTime(incident(what, [...all].reverse()), of, NOW)).toEqual(contact)
        const { state, share, ctMgMinL, protocol, reachedAtMs, earliestMs, asOfMs } = contact
        expect(Number.isFinite(ctMgMinL)).toBe(true)
        expect(share === null).toBe(protocol === null)
        expect(reachedAtMs !== null).toBe(state === 'reached')
        expect(earliestMs !== null).toBe(state === 'running')
        if (share !== null) expect(share === 1).toBe(state === 'reached')
        if (reachedAtMs !== null) expect(reachedAtMs).toBeLessThanOrEqual(asOfMs ?? 0)
        if (earliestMs !== null) expect(earliestMs).toBeGreaterThan(asOfMs ?? 0)
      }),
      RUNS,
    )
  })

  it('what it says of the earliest end comes true when the level holds until then', () => {
    fc.assert(
      fc.property(kind, readings, (what, all) => {
        const contact = contactTime(incident(what, all), water(), NOW)
        const newest = contact.readings.at(-1)
        fc.pre(contact.earliestMs !== null && newest !== undefined)
        if (contact.earliestMs === null || !newest) return
        const then = (ms: number) => contactTime(incident(what, [...all, { ...newest, atMs: ms }]), water(), ms).state
        expect(then(contact.earliestMs)).toBe('reached')
        const sooner = contact.earliestMs - MINUTE
        if (sooner > newest.atMs) expect(then(sooner)).toBe('running')
      }),
      RUNS,
    )
  })
})

describe('the data', () => {
  it('has CT as level times minutes throughout', () => {
    for (const { freeChlorineMgL, holdMin, ctMgMinL } of Object.values(PROTOCOLS))
      expect(ctMgMinL).toBe(freeChlorineMgL * holdMin)
  })
})
