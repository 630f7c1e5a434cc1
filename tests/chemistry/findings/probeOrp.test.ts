// Thresholds here are judgement or common practice, no source.
import {
  type FindingKind,
  type PastTest,
  type RedoxJudgement,
  renderPhrase,
  type Snapshot,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import {
  controller,
  DAY,
  find,
  GOOD,
  HOUR,
  hour,
  hours,
  judge,
  kinds,
  MINUTE,
  NOW,
  severityOf,
  snapshot,
  still,
  tested,
} from '../support.ts'
import { interval, redox, say } from './redoxSupport.ts'

const ORP_KINDS: FindingKind[] = ['orpDrifted', 'setPointOff', 'orpProbeFaulty', 'orpNotTied']

const body = (meaning: RedoxJudgement | undefined, given: Partial<Omit<Snapshot, 'body'>> = {}) =>
  snapshot({ controller: controller(), redox: meaning, ...given })
const said = (given: Snapshot) => kinds(given).filter((kind) => ORP_KINDS.includes(kind))
const adviceOf = (given: Snapshot, kind: FindingKind) =>
  find(given, kind)
    ?.advice.map(({ text }) => text)
    .join(' | ')
const sentenceOf = (given: Snapshot, kind: FindingKind) => {
  const sentence = find(given, kind)?.sentence
  return sentence && renderPhrase(sentence, 'metric')
}

describe('an ORP that means what it meant', () => {
  it('is not spoken of, nor one of which nothing was worked out', () => {
    expect(said(body(redox()))).toEqual([])
    expect(said(body(undefined))).toEqual([])
  })
})

const drifted = (drift: object = {}, rest: object = {}) =>
  redox({
    drift: { alarm: true, residualMv: interval(-20, 4), ...drift },
    advice: { holdsTargetMv: interval(715, 5) },
    ...rest,
  })

describe('ORP and test kit parted', () => {
  it.each([
    // a slope of 100 mV: at 30.1 mV the same ORP goes with half or twice the acid
    [-20, 'watch'],
    [-30, 'watch'],
    [-30.2, 'act'],
    [30, 'watch'],
    [30.2, 'act'],
  ] as const)('by %s mV: %s', (mv, severity) => {
    expect(severityOf(body(drifted({ residualMv: interval(mv, 4) })), 'orpDrifted')).toBe(severity)
  })

  it('says which way, since when, and whether it goes on or came at once', () => {
    expect(sentenceOf(body(drifted()), 'orpDrifted')).toBe(
      'In the same water ORP shows 20 mV less than it did 35 days ago, and no test explains it.',
    )
    const more = drifted({ residualMv: interval(20, 4), shape: 'slope', trendMvPerWeek: interval(4, 1) })
    expect(sentenceOf(body(more), 'orpDrifted')).toContain('20 mV more than it did 35 days ago, and it goes on')
    expect(find(body(more), 'orpDrifted')?.evidence.map(({ label }) => label)).toContain('Change of it in a week')
    const step = (atMs: number, mv: number) => ({ atMs, afterMs: atMs - DAY, mv: interval(mv, 3), work: null })
    const steps = [step(NOW - 20 * DAY, -4), step(NOW - 9 * DAY, -16)]
    const stepped = body(drifted({ shape: 'step', steps }))
    expect(sentenceOf(stepped, 'orpDrifted')).toContain('it changed at once')
    expect(find(stepped, 'orpDrifted')?.sinceMs).toBe(NOW - 9 * DAY)
    expect(adviceOf(stepped, 'orpDrifted')).toContain('Ask what was done on that day')
    const logged = steps.map((one) => ({ ...one, work: 'orpProbeReplaced' as const }))
    expect(adviceOf(body(drifted({ shape: 'step', steps: logged })), 'orpDrifted')).not.toContain('Ask what was done')
  })

  it.each([
    ['it is not beyond doubt', drifted({ alarm: false })],
    ['nobody knows by how much', drifted({ residualMv: null })],
    ['nobody knows since when', drifted({ sinceMs: null })],
    [
      'the set point was moved to where it holds the target',
      drifted({}, { advice: { holdsTargetMv: interval(745, 5) } }),
    ],
    ['nothing was worked out for more than three days', drifted({}, { atMs: NOW - 3 * DAY - 1 })],
    ['it carries a time that has not come', drifted({}, { atMs: NOW + HOUR + 1 })],
  ])('is not said where %s', (_case, meaning) => {
    expect(said(body(meaning))).not.toContain('orpDrifted')
  })

  it('is said up to three days after it was worked out, and where the set point is a hair too high', () => {
    expect(said(body(drifted({}, { atMs: NOW - 3 * DAY })))).toContain('orpDrifted')
    expect(said(body(drifted({}, { advice: { holdsTargetMv: interval(734.9, 5) } })))).toContain('orpDrifted')
    expect(said(body(drifted({}, { advice: { nowMv: null } })))).toContain('orpDrifted')
  })

  it('stays said of a drift that goes on, though today’s set point is right', () => {
    const meaning = drifted({ shape: 'slope' }, { advice: { holdsTargetMv: interval(740, 5) } })
    expect(said(body(meaning))).toContain('orpDrifted')
  })

  it('moves the set point only after the probe was cleaned, never the probe, and never where that must wait', () => {
    const move = adviceOf(
      body(drifted({}, { advice: { action: 'move', holdsTargetMv: interval(715, 5), reasons: [say('Move it.')] } })),
      'orpDrifted',
    )
    expect(move?.indexOf('Clean the ORP probe')).toBeLessThan(move?.indexOf('Move it.') ?? -1)
    const wait = adviceOf(
      body(
        drifted({}, { advice: { action: 'testFirst', holdsTargetMv: interval(715, 5), reasons: [say('Retest.')] } }),
      ),
      'orpDrifted',
    )
    expect(wait).toContain('Do not move the set point yet. | Retest.')
    expect(adviceOf(body(drifted()), 'orpDrifted')).toContain('Never adjust the ORP probe')
  })

  it('asks for cyanuric acid first where it is used and was not tested for two weeks', () => {
    const tests = (hoursAgo: number | null) => ({
      ...tested(GOOD),
      ...(hoursAgo === null ? {} : { cyanuricAcidMgL: { value: 30, atMs: NOW - hoursAgo * HOUR } }),
    })
    const given = (hoursAgo: number | null, used = true) =>
      snapshot({
        controller: controller(),
        redox: drifted(),
        tests: tests(hoursAgo),
        body: { cyanuricAcidUsed: used },
      })
    const asks = (one: Snapshot) => adviceOf(one, 'orpDrifted')?.includes('Test cyanuric acid first')
    expect(asks(given(14 * 24))).toBe(false)
    expect(asks(given(14 * 24 + 0.01))).toBe(true)
    expect(asks(given(null))).toBe(true)
    expect(asks(given(null, false))).toBe(false)
  })

  it('says nothing of a body out of use, nor of water that is disinfected after an incident', () => {
    const outOfUse = { fromMs: NOW - DAY, toMs: null, reason: 'Winter' }
    expect(kinds(body(drifted(), { outOfUse }))).toEqual([])
    const incident = { id: 'i', kind: 'formedStool' as const, atMs: NOW - HOUR, instruction: null, readings: [] }
    expect(said(body(drifted(), { incidents: [incident] }))).toEqual([])
  })
})

describe('an ORP probe that does not show the water', () => {
  const faulty = (state: 'impossible' | 'stuck' | 'flat' | 'noisy' | 'slow', rest: object = {}) =>
    redox({
      drift: {
        alarm: true,
        residualMv: interval(-40, 4),
        probe: { state, sinceMs: NOW - 20 * HOUR, reasons: [say(`The probe is ${state}.`)], evidence: [] },
      },
      ...rest,
    })
  it.each([
    ['impossible', 'act'],
    ['stuck', 'act'],
    ['flat', 'act'],
    ['noisy', 'watch'],
    ['slow', 'watch'],
  ] as const)('%s: %s', (state, severity) => {
    const finding = find(body(faulty(state)), 'orpProbeFaulty')
    expect(finding).toMatchObject({ severity, sinceMs: NOW - 20 * HOUR })
    expect(finding?.sentence.text).toBe(`The probe is ${state}.`)
    expect(finding?.advice.map(({ text }) => text).join(' ')).toContain('Do not move the set point')
  })

  it('explains that it drifted and that its set point is off: one trouble is told once', () => {
    const off = { advice: { action: 'mendFirst' as const, holdsTargetMv: interval(700, 5), nowMeansMgL: interval(9) } }
    expect(said(body(faulty('slow', off)))).toEqual(['orpProbeFaulty'])
  })

  it('is not said of one that is well, or of which nobody knows', () => {
    for (const state of ['well', 'unknown'] as const) {
      const meaning = redox({ drift: { probe: { state, sinceMs: null, reasons: [], evidence: [] } } })
      expect(said(body(meaning))).toEqual([])
    }
  })
})

// the pool of these tests is to hold at least 1 mg/L (MAHC), so that a dose ends at 2
describe('a set point that does not hold the target', () => {
  const past = (count: number, mgL: number | null, daysAgo = 6): PastTest[] =>
    Array.from({ length: count }, (_, at) => ({
      atMs: NOW - (daysAgo + at) * DAY,
      sanitizerMgL: mgL,
      ph: 7.4,
      saltMgL: null,
    }))
  const off = (means: number, advice: object = {}, rest: Partial<Omit<Snapshot, 'body'>> = { pastTests: past(9, 2) }) =>
    body(
      redox({
        advice: {
          action: 'move',
          nowMeansMgL: interval(means, 0.3),
          holdsTargetMv: interval(means > 2 ? 720 : 760, 5),
          todayMv: means > 2 ? 725 : 755,
          reasons: [say('Move the ORP set point.')],
          ...advice,
        },
      }),
      rest,
    )

  it.each([
    ['a hair less than 1.6 times the target', 3.19, 'none'],
    ['1.6 times the target, and of what it was held at', 3.2, 'watch'],
    ['five eighths of it', 1.25, 'watch'],
    ['a little more than that', 1.26, 'none'],
    ['the minimum of the code', 1, 'watch'],
    ['less than that', 0.99, 'act'],
  ] as const)('%s (%d mg/L): %s', (_case, means, severity) => {
    expect(severityOf(off(means), 'setPointOff')).toBe(severity)
  })

  it('leaves whoever keeps another level on purpose alone, up to twice the target', () => {
    const own = (means: number) => severityOf(off(means, {}, { pastTests: past(9, 3.2) }), 'setPointOff')
    expect(own(3.9)).toBe('none')
    expect(own(4)).toBe('watch')
  })

  it('knows what it was held at by five tests of the weeks before the last days', () => {
    const by = (pastTests: PastTest[] | undefined) =>
      severityOf(off(3.5, {}, pastTests ? { pastTests } : {}), 'setPointOff')
    expect(by(past(5, 2))).toBe('watch')
    expect(by(past(4, 2))).toBe('none')
    expect(by(past(1, 2, 5).concat(past(4, 2)))).toBe('watch')
    expect(by(past(1, 2, 4.99).concat(past(4, 2)))).toBe('none')
    expect(by([...past(4, 2), ...past(1, null)])).toBe('none')
    expect(by(undefined)).toBe('none')
  })

  it('says where it would hold it, between what, and how far to go today', () => {
    const given = off(3.5)
    expect(sentenceOf(given, 'setPointOff')).toBe(
      'The ORP set point of 740 mV now holds about 3.5 mg/L of free chlorine; 2.0 mg/L would take about 720 mV, between 715 mV and 725 mV.',
    )
    expect(find(given, 'setPointOff')?.advice.map(({ text }) => text)).toEqual(['Move the ORP set point.'])
  })

  it('is not to be moved while something else of the body must be mended first', () => {
    const advice = (rest: Partial<Omit<Snapshot, 'body'>>) =>
      adviceOf(off(3.5, {}, { pastTests: past(9, 2), ...rest }), 'setPointOff')
    expect(advice({ tests: tested({ ...GOOD, ph: 8.1 }) })).toMatch(
      /^Do not move the set point yet. \| Leave the set point for now. First see to: .*pH/,
    )
    expect(advice({ controller: controller({ flowOn: false, atMs: NOW - 4 * MINUTE }) })).toMatch(
      /First see to: .*flow/,
    )
    expect(advice({ tests: tested({ ...GOOD, calciumHardnessMgL: 20 }) })).toBe('Move the ORP set point.')
  })

  it('says why it must not be moved yet', () => {
    for (const action of ['testFirst', 'mendFirst'] as const) {
      const given = off(3.5, { action, todayMv: null, reasons: [say('pH first.')] })
      expect(adviceOf(given, 'setPointOff')).toBe('Do not move the set point yet. | pH first.')
    }
  })

  it.each([
    ['it lies inside what would hold the target', { holdsTargetMv: { value: 735, low: 730, high: 740 } }],
    ['it is to be kept', { action: 'keep' }],
    ['nobody can tell', { action: 'cannotTell' }],
    ['the set point is not known', { nowMv: null }],
    ['nobody knows what would hold the target', { holdsTargetMv: null }],
    ['nobody knows what it holds', { nowMeansMgL: null }],
  ])('is not said where %s', (_case, advice) => {
    expect(said(off(4.5, advice))).toEqual([])
  })

  it('is not said of a set point that is not held: that is told of the feed', () => {
    const under = (mv: number) => ({
      pastTests: past(9, 2),
      controller: controller({ orpMv: 740 - mv }, hours(30, { orpMv: still(740 - mv, 3), sanitizerFeedMin: 0 })),
    })
    const action = 'mendFirst'
    expect(said(off(3.5, { action }, under(30)))).toEqual(['setPointOff'])
    expect(said(off(3.5, { action }, under(30.1)))).toEqual([])
    expect(said(off(3.5, { action: 'testFirst' }, under(30.1)))).toEqual(['setPointOff'])
  })

  it('says that fresh water is the mend where stabilizer moved it: a lower set point holds the reading and less acid', () => {
    const by = (main: 'stabilizer' | 'ph', means: number) => {
      const changed = { fromMs: NOW - 20 * DAY, toMs: NOW, totalMv: interval(-15, 3), parts: [], main }
      return off(means, { changed })
    }
    expect(adviceOf(by('stabilizer', 3.5), 'setPointOff')).toContain('Replace water')
    expect(adviceOf(by('ph', 3.5), 'setPointOff')).not.toContain('Replace water')
    expect(adviceOf(by('stabilizer', 1.2), 'setPointOff')).not.toContain('Replace water')
    expect(find(by('stabilizer', 3.5), 'setPointOff')?.sinceMs).toBe(NOW - 20 * DAY)
  })

  it('speaks of bromine where that is the sanitizer', () => {
    const given = snapshot({
      body: { sanitizerSystem: 'bromine' },
      tests: tested({ bromineMgL: 5, ph: 7.4 }),
      controller: controller(),
      redox: redox({
        advice: { action: 'move', nowMeansMgL: interval(20), holdsTargetMv: interval(700, 5), reasons: [] },
      }),
    })
    expect(sentenceOf(given, 'setPointOff')).toContain('of bromine')
  })
})

describe('an ORP that is not tied to the test kit', () => {
  const paired = (pairedAtMs: number | null, more: Partial<Omit<Snapshot, 'body'>> = {}) =>
    body(redox({ pairedAtMs }), more)
  it('is said once no test was made beside it for more than two weeks', () => {
    expect(said(paired(NOW - 14 * DAY))).toEqual([])
    expect(severityOf(paired(NOW - 14 * DAY - 1), 'orpNotTied')).toBe('watch')
    expect(find(paired(NOW - 15 * DAY), 'orpNotTied')?.sinceMs).toBe(NOW - 15 * DAY)
  })

  it('tells when that will be', () => {
    const { dueAtMs } = judge(paired(NOW - 14 * DAY + MINUTE))
    expect(dueAtMs).toBeLessThanOrEqual(NOW + MINUTE + 1)
  })

  it('is said of one that never was, once it has been shown so long', () => {
    const shown = (days: number) => [hour(days * 24), hour(2), hour(1)]
    const never = (days: number) => paired(null, { controller: controller({}, shown(days)) })
    expect(said(never(14))).toEqual([])
    expect(sentenceOf(never(15), 'orpNotTied')).toContain('no test was made beside it')
    const blind = shown(15).map((one) => ({ ...one, orpMv: null }))
    expect(said(paired(null, { controller: controller({}, blind) }))).toEqual([])
    expect(said(paired(null, { controller: controller({}, []) }))).toEqual([])
  })

  it.each([
    ['the controller is not heard', { controller: controller({ atMs: NOW - 3 * HOUR }) }],
    ['the controller shows no ORP', { controller: controller({ orpMv: null }) }],
    ['there is none', { controller: null }],
  ])('is not said where %s', (_case, more) => {
    expect(said(paired(NOW - 20 * DAY, more))).toEqual([])
  })

  it('is said where many pairs show that ORP does not follow', () => {
    const none = { correlation: 'none' as const, pairsUsed: 24 }
    expect(sentenceOf(body(redox(none)), 'orpNotTied')).toContain('In 24 pairs')
    expect(adviceOf(body(redox(none)), 'orpNotTied')).toContain('Do not move the set point')
    expect(said(body(redox({ ...none, correlation: 'assumed' })))).toEqual([])
  })

  it('is not said of bromine that does not show it yet: no theory says how it should follow', () => {
    const given = snapshot({
      body: { sanitizerSystem: 'bromine' },
      tests: tested({ bromineMgL: 5, ph: 7.4 }),
      controller: controller(),
      redox: redox({ correlation: 'none', pairsUsed: 24 }),
    })
    expect(said(given)).toEqual([])
  })
})
