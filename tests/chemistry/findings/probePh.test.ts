// One rule for pH probe and test kit: all tests together decide where they were worked out, else the newest alone.
// Thresholds are common practice, no source.
import {
  assessRedox,
  assessWater,
  followFindings,
  type PhProbeAgreement,
  redoxJudgement,
  renderPhrase,
  type Snapshot,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { AIM, daysAgo, hoursOf, pair, record, work } from '../redox/support.ts'
import {
  ACID_PUMP,
  controller,
  DAY,
  find,
  GOOD,
  HOUR,
  hours,
  judge,
  kinds,
  NOW,
  profile,
  severityOf,
  snapshot,
  still,
  tested,
} from '../support.ts'
import { interval, redox, say } from './redoxSupport.ts'

const TEST_AT = NOW - 2.5 * HOUR
const gap = (testedPh: number, shownPh: number) => ({
  testedPh,
  testedAtMs: TEST_AT,
  shownPh,
  apart: Math.abs(shownPh - testedPh),
})

/** A body whose newest test says one thing and whose hours show another, with what all tests together say. */
const given = (phProbe: Partial<PhProbeAgreement> | null, more: Partial<Omit<Snapshot, 'body'>> = {}, shownPh = 7.8) =>
  snapshot({
    tests: tested({ ...GOOD, ph: 7.4 }, 2.5),
    controller: controller({ ph: shownPh }, hours(24, { ph: still(shownPh) })),
    ...(phProbe ? { redox: redox({ phProbe }) } : {}),
    ...more,
  })
const PH_KINDS = ['phProbeDisagrees', 'phProbeDrifted', 'phProbeFaulty']
const said = (body: Snapshot, nowMs?: number) => kinds(body, undefined, nowMs).filter((kind) => PH_KINDS.includes(kind))
const adviceOf = (body: Snapshot, kind: 'phProbeDrifted' | 'phProbeFaulty' | 'phProbeDisagrees') =>
  find(body, kind)
    ?.advice.map(({ text }) => text)
    .join(' | ')

describe('who decides whether the pH probe parted', () => {
  it('is all tests together, where they were worked out with the newest', () => {
    expect(said(given({ state: 'agrees' }))).toEqual([])
    expect(said(given({ state: 'unknown', newest: null, offsetPh: null }))).toEqual([])
    expect(said(given({ state: 'retest', newest: gap(7.4, 7.8) }))).toEqual(['phProbeDisagrees'])
    expect(said(given({ state: 'calibrate', newest: gap(7.4, 7.8) }))).toEqual(['phProbeDrifted'])
    expect(said(given({ state: 'slopeGone', slopeSign: 'hardly follows' }))).toEqual(['phProbeFaulty'])
  })

  it('is the newest test alone, where nothing was worked out, or before it, or too long ago', () => {
    expect(said(given(null))).toEqual(['phProbeDisagrees'])
    const at = (atMs: number) => given(null, { redox: redox({ atMs }) })
    expect(said(at(TEST_AT))).toEqual([])
    expect(said(at(TEST_AT - 1))).toEqual(['phProbeDisagrees'])
    expect(said(at(NOW + HOUR + 1))).toEqual(['phProbeDisagrees'])
  })

  it('is nobody once what was worked out is older than three days', () => {
    const old = given({ state: 'calibrate', newest: gap(7.4, 7.8) })
    expect(said(old, NOW - HOUR + 3 * DAY)).toEqual(['phProbeDrifted'])
    expect(said(old, NOW - HOUR + 3 * DAY + 1)).toEqual([])
  })

  it('tells a trouble once also where the probe’s finding comes from elsewhere', () => {
    const drifted = find(given({ state: 'calibrate', newest: gap(7.4, 7.8) }), 'phProbeDrifted')
    const body = given(null)
    const by = (equipment: Parameters<typeof assessWater>[3]) =>
      assessWater(body, profile(), NOW, equipment).findings.map(({ kind }) => kind)
    expect(by([])).toContain('phProbeDisagrees')
    expect(by(drifted ? [drifted] : [])).toEqual(expect.arrayContaining(['phProbeDrifted']))
    expect(by(drifted ? [drifted] : [])).not.toContain('phProbeDisagrees')
  })
})

describe('a pH probe that several tests disprove', () => {
  it.each([
    [7.8, 'watch'],
    [7.9, 'watch'],
    [7.91, 'act'],
    [6.9, 'watch'],
    [6.89, 'act'],
  ] as const)('shows %s where the kit finds 7.4: %s', (shownPh, severity) => {
    const body = given({ state: 'calibrate', newest: gap(7.4, shownPh) })
    expect(severityOf(body, 'phProbeDrifted')).toBe(severity)
  })

  it('says by how much and which way, and goes by all tests where the newest is near', () => {
    const sentence = (phProbe: Partial<PhProbeAgreement>) => {
      const found = find(given({ state: 'calibrate', ...phProbe }), 'phProbeDrifted')
      return found && renderPhrase(found.sentence, 'us')
    }
    expect(sentence({ newest: gap(7.4, 7.7) })).toBe(
      'The pH probe reads high: it shows 0.3 more than the test kit, by more than one test.',
    )
    expect(sentence({ newest: gap(7.4, 7.0) })).toContain('reads low: it shows 0.4 less')
    expect(sentence({ newest: gap(7.4, 7.3), offsetPh: interval(-0.25, 0.1) })).toContain(
      'reads low: it shows 0.3 less',
    )
  })

  it('is calibrated, and its set point left alone', () => {
    const advice = adviceOf(given({ state: 'calibrate', newest: gap(7.4, 7.8) }), 'phProbeDrifted')
    expect(advice).toContain('Clean the pH probe first; calibrate it')
    expect(advice).toContain('Leave the pH set point alone')
    expect(advice).not.toMatch(/move the (pH )?set point/i)
    const bring = find(given({ state: 'calibrate', newest: gap(7.4, 7.8) }), 'phProbeDrifted')?.bring
    expect(bring?.map(({ text }) => text)).toContain('pH buffers')
  })

  it('stops the feed of acid first where it reads far too high', () => {
    const advice = (shownPh: number) =>
      adviceOf(given({ state: 'calibrate', newest: gap(7.4, shownPh) }), 'phProbeDrifted')
    expect(advice(8)).toContain('Stop the pH feed by hand')
    expect(advice(7.9)).not.toContain('Stop the pH feed')
    expect(advice(6.7)).not.toContain('Stop the pH feed')
  })

  it('is not listened to for the pH of the water, also where the newest test is near', () => {
    const older = { tests: tested({ ...GOOD, ph: 7.4 }, 20) }
    const at = { testedPh: 7.4, testedAtMs: NOW - 20 * HOUR, shownPh: 7.5, apart: 0.1 }
    const body = (phProbe: Partial<PhProbeAgreement>) => given(phProbe, older, 8.4)
    expect(kinds(body({ state: 'agrees', newest: at }))).toContain('phHigh')
    expect(kinds(body({ state: 'calibrate', newest: at, offsetPh: interval(0.5, 0.1) }))).not.toContain('phHigh')
    expect(kinds(body({ state: 'slopeGone', slopeSign: 'stands still', newest: null, offsetPh: null }))).not.toContain(
      'phHigh',
    )
  })

  it('lets a set point that is not held be judged by what the water is', () => {
    const day = hours(24, { ph: still(7.8), phFeedMin: 24 })
    const body = (phProbe: Partial<PhProbeAgreement>) =>
      given(phProbe, { feeders: [ACID_PUMP], controller: controller({ ph: 7.8 }, day) })
    expect(kinds(body({ state: 'agrees' }))).toContain('phNotHeld')
    expect(kinds(body({ state: 'calibrate', newest: gap(7.4, 7.8) }))).not.toContain('phNotHeld')
    expect(kinds(body({ state: 'calibrate', newest: gap(7.4, 7.45), offsetPh: interval(0.3, 0.1) }))).not.toContain(
      'phNotHeld',
    )
  })
})

describe('a pH probe that no longer follows', () => {
  const gone = (phProbe: Partial<PhProbeAgreement>, more: Partial<Omit<Snapshot, 'body'>> = {}) =>
    given({ state: 'slopeGone', newest: gap(7.4, 7.5), reasons: [say('Why.'), say('Leave it.')], ...phProbe }, more)

  it.each([
    ['calibration', 'watch'],
    ['never lasts', 'watch'],
    ['hardly follows', 'watch'],
    ['stands still', 'act'],
  ] as const)('because of %s: %s', (slopeSign, severity) => {
    const finding = find(gone({ slopeSign }), 'phProbeFaulty')
    expect(finding).toMatchObject({ severity, sentence: { text: 'Why.' } })
    expect(finding?.advice.map(({ text }) => text)).toContain('Leave it.')
  })

  it('is for today also where it stands far from the kit, and not where nothing is fed by it', () => {
    expect(severityOf(gone({ slopeSign: 'calibration', newest: gap(7.4, 7.91) }), 'phProbeFaulty')).toBe('act')
    expect(severityOf(gone({ slopeSign: 'calibration', newest: gap(7.4, 7.9) }), 'phProbeFaulty')).toBe('watch')
    const unfed = { controller: controller({ phFeedPct: null }, hours(24)) }
    expect(severityOf(gone({ slopeSign: 'stands still' }, unfed), 'phProbeFaulty')).toBe('watch')
    const pumped = { ...unfed, feeders: [ACID_PUMP] }
    expect(severityOf(gone({ slopeSign: 'stands still' }, pumped), 'phProbeFaulty')).toBe('act')
  })
})

describe('the life of it', () => {
  const tests = (shownOver: number, days: readonly number[]) =>
    days.map((ago) => pair(daysAgo(ago), { ph: 7.4 }, { shownPh: 7.4 + shownOver }))
  const foundWith = (given: Parameters<typeof record>[0]) => {
    const redox = redoxJudgement(assessRedox(record({ hours: hoursOf(48), ...given }), AIM, NOW))
    const newest = given?.pairs?.at(-1)
    const at = newest ? { ph: { value: 7.4, atMs: newest.atMs } } : {}
    return judge(snapshot({ tests: { ...tested(GOOD), ...at }, controller: controller(), redox })).findings
  }

  it('opens with the second or third test that says so, and closes when the probe was calibrated and agrees', () => {
    const apart = tests(0.35, [3, 2, 1, 0.1])
    const before = foundWith({ pairs: apart })
    expect(before.map(({ kind }) => kind)).toContain('phProbeDrifted')
    const mended = [...apart, ...tests(0, [0.04])]
    const after = foundWith({ pairs: mended, work: [work('phCalibrated', 0.06)] })
    const { closed } = followFindings(before, after)
    expect(closed.map(({ kind }) => kind)).toContain('phProbeDrifted')
  })

  it('asks for a retest only while one test alone says so', () => {
    const one = foundWith({ pairs: [...tests(0, [4, 3, 2, 1]), ...tests(0.35, [0.1])] })
    expect(one.map(({ kind }) => kind)).toContain('phProbeDisagrees')
    expect(one.map(({ kind }) => kind)).not.toContain('phProbeDrifted')
  })

  it('keeps of the relation when it was last tied to a test', () => {
    const kept = (pairs: Parameters<typeof tests>[1]) =>
      redoxJudgement(assessRedox(record({ pairs: tests(0, pairs) }), AIM, NOW)).pairedAtMs
    expect(kept([9, 3])).toBe(daysAgo(3))
    expect(kept([])).toBeNull()
  })
})
