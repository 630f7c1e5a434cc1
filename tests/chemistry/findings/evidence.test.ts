import { assess, type ControllerRecord, deriveProfile, renderPhrase, type Snapshot } from '@sightglass/chemistry'
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
  profile,
  severityOf,
  snapshot,
  still,
  tested,
} from '../support.ts'

const standing = (given: Parameters<typeof judge>[0], key?: string, nowMs?: number) =>
  judge(given, key, nowMs).standing.severity

describe('a test that is overdue', () => {
  it.each([
    // California 22 CCR 65523: at least once per day; half an interval of grace
    ['us-ca', 35.9, 'none'],
    ['us-ca', 36.1, 'unheard'],
    // DCMR 25-C412: three times per day
    ['us-dc', 11.9, 'none'],
    ['us-dc', 12.1, 'unheard'],
    ['cdc-mahc', 35.9, 'none'],
    ['cdc-mahc', 36.1, 'unheard'],
  ] as const)('%s, %s h after the last one, without a controller: %s', (key, hoursAgo, severity) => {
    const given = snapshot({ tests: tested(GOOD, hoursAgo) })
    expect(severityOf(given, 'testOverdue', key)).toBe(severity)
  })

  it('needs a person, but is not unheard, while a live controller stands in', () => {
    const given = snapshot({ tests: tested(GOOD, 60), controller: controller() })
    expect(severityOf(given, 'testOverdue')).toBe('act')
    expect(standing(given)).toBe('act')
  })

  it.each([
    ['has no ORP', { orpMv: null }],
    ['shows an impossible ORP', { orpMv: 0 }],
    ['shows an impossible pH', { ph: 0 }],
    ['has no pH', { ph: null }],
    ['has no flow', { flowOn: false }],
    ['is silent', { atMs: NOW - 3 * HOUR }],
  ] as const)('is unheard when the controller %s', (_case, latest) => {
    const given = snapshot({ tests: tested(GOOD, 60), controller: controller(latest, []) })
    expect(severityOf(given, 'testOverdue')).toBe('unheard')
    expect(standing(given)).not.toBe('fine')
    expect(standing(given)).not.toBe('watch')
  })

  it('may be vouched for by a chlorine reading instead of ORP', () => {
    const given = snapshot({ tests: tested(GOOD, 60), controller: controller({ orpMv: null, freeChlorineMgL: 2 }) })
    expect(severityOf(given, 'testOverdue')).toBe('act')
  })

  it('of what changes slowly can wait', () => {
    const tests = { ...tested(GOOD, 2), ...tested({ totalAlkalinityMgL: 100, calciumHardnessMgL: 250 }, 9 * 24) }
    expect(severityOf(snapshot({ tests }), 'testOverdue')).toBe('watch')
    expect(standing(snapshot({ tests }))).toBe('watch')
  })

  it('names what was never tested', () => {
    const given = snapshot({ tests: tested({ ...GOOD, freeChlorineMgL: undefined, totalChlorineMgL: undefined }) })
    const overdue = find(given, 'testOverdue')
    expect(overdue?.severity).toBe('unheard')
    expect(overdue && renderPhrase(overdue.sentence, 'us')).toBe(
      'Free chlorine must be tested every 24 h, and it never was.',
    )
    const sentence = (given: Snapshot) => find(given, 'testOverdue')?.sentence.text
    expect(sentence(snapshot({ tests: tested({ tempC: 27 }) }))).toContain(
      'pH must be tested every {0}, and neither ever was',
    )
    const some = tested({ ...GOOD, totalAlkalinityMgL: undefined, calciumHardnessMgL: undefined })
    const late = { ...some, ...tested({ calciumHardnessMgL: 250 }, 24 * 30) }
    expect(sentence(snapshot({ tests: late }))).toContain('and total alkalinity never was')
  })

  it('says how old, whose interval, and since when it is late', () => {
    const given = snapshot({ tests: tested(GOOD, 60) })
    const overdue = find(given, 'testOverdue', 'us-ca')
    expect(overdue && renderPhrase(overdue.sentence, 'us')).toBe(
      'Free chlorine and pH must be tested every 24 h; the last test is more than 2 days old.',
    )
    expect(overdue?.limit).toMatchObject({ value: 24, unit: 'h', citation: { authority: 'law', section: '65523(a)' } })
    expect(overdue?.sinceMs).toBe(NOW - 24 * HOUR)
  })

  it('is asked for daily even when a company took the rules away: untested water never becomes fine', () => {
    const rules = profile().tests.map(({ key }) => ({ ruleKey: key, value: null, reason: 'r', citation: 'c' }))
    const lenient = deriveProfile(profile(), { key: 'own', name: 'Own' }, rules)
    const old = assess(snapshot({ tests: tested(GOOD, 40) }), lenient, NOW)
    expect(old.standing).toMatchObject({ severity: 'unheard', score: null })
    expect(assess(snapshot(), lenient, NOW).standing.severity).toBe('fine')
  })

  it('is not silenced by a test from the future', () => {
    const given = snapshot({ tests: tested(GOOD, -48) })
    expect(severityOf(given, 'testOverdue')).toBe('unheard')
    const overdue = find(given, 'testOverdue')
    expect(overdue && renderPhrase(overdue.sentence, 'us')).toContain('a time that has not come yet')
  })
})

describe('never tested', () => {
  it.each([
    ['without a controller', null],
    ['with a live controller', controller()],
    ['with a controller never heard', { channels: ['ph' as const], lastHeardAtMs: null, latest: null, hours: [] }],
  ] satisfies [string, Snapshot['controller']][])('is unheard %s', (_case, given) => {
    const assessment = judge(snapshot({ tests: {}, controller: given }))
    expect(assessment.standing).toEqual({ severity: 'unheard', score: null, parts: [] })
    expect(assessment.findings.map(({ kind }) => kind)).toContain('neverTested')
    expect(assessment.findings.map(({ kind }) => kind)).not.toContain('testOverdue')
  })

  it('is not said once there was a test', () => {
    expect(kinds(snapshot())).not.toContain('neverTested')
    expect(kinds(snapshot({ tests: tested(GOOD, 24 * 400) }))).not.toContain('neverTested')
  })
})

describe('the controller silent', () => {
  it.each([
    [1.9, 'none'],
    [2.1, 'watch'],
    [50, 'watch'],
  ] as const)('%s h after the last sample, with a fresh test: %s', (hoursAgo, severity) => {
    const given = snapshot({ controller: controller({ atMs: NOW - hoursAgo * HOUR }, []) })
    expect(severityOf(given, 'controllerSilent')).toBe(severity)
  })

  it('is unheard when nothing else was heard either', () => {
    const given = snapshot({
      tests: tested(GOOD, 6 * 24),
      controller: controller({ atMs: NOW - 6 * DAY }, []),
    })
    expect(severityOf(given, 'controllerSilent')).toBe('unheard')
    expect(judge(given).standing).toEqual({ severity: 'unheard', score: null, parts: [] })
  })

  it('is said of one that was never heard, and of one whose clock runs ahead', () => {
    const never = snapshot({ controller: { channels: ['ph' as const], lastHeardAtMs: null, latest: null, hours: [] } })
    const ahead = snapshot({ controller: controller({ atMs: NOW + DAY }, []) })
    expect(severityOf(never, 'controllerSilent')).toBe('watch')
    const silent = find(ahead, 'controllerSilent')
    expect(silent && renderPhrase(silent.sentence, 'us')).toContain('its clock is wrong')
  })

  it('whose clock runs ahead tells no age of what it shows', () => {
    const day = hours(3, { orpMv: still(500), noFlowMin: 60 })
    const words = (latest: object, kind: 'orpOutOfRange' | 'noFlow') => {
      const given = snapshot({ controller: controller({ atMs: NOW + 5 * HOUR, ...latest }, day) })
      const found = find(given, kind)
      return found && renderPhrase(found.sentence, 'us')
    }
    expect(words({ orpMv: 500 }, 'orpOutOfRange')).toMatch(
      /^The controller, whose clock is wrong, shows ORP 500 mV, under/,
    )
    expect(words({ flowOn: false }, 'noFlow')).toMatch(/do not run\.$|counts as no flow\.$/)
  })

  it('is not said where none is fitted', () => {
    expect(kinds(snapshot())).not.toContain('controllerSilent')
  })
})

describe('a probe of which the controller says nothing more', () => {
  const quiet = (probe: 'ph' | 'orpMv', hoursAgo: number) => {
    const day = [...hours(24).slice(0, 24 - hoursAgo), ...hours(hoursAgo, { [probe]: null })]
    return snapshot({ controller: controller({ [probe]: null }, day) })
  }
  it.each([
    ['ph', 2, 'none'],
    ['ph', 3, 'watch'],
    ['orpMv', 3, 'watch'],
    ['orpMv', 24, 'watch'],
  ] as const)('%s for %s h: %s', (probe, hoursAgo, severity) => {
    expect(severityOf(quiet(probe, hoursAgo), 'controllerSilent')).toBe(severity)
  })

  it('is named, with the time since', () => {
    const finding = find(quiet('orpMv', 5), 'controllerSilent')
    expect(finding).toMatchObject({ subject: 'orpMv', sinceMs: NOW - 5 * HOUR })
    expect(finding && renderPhrase(finding.sentence, 'us')).toMatch(/^The controller reports, but ORP has not come/)
  })

  it('is not missed where no such channel is fitted, and not told twice where the whole controller is silent', () => {
    const given = quiet('ph', 5)
    const unfitted = {
      ...given,
      controller: { ...(given.controller as ControllerRecord), channels: ['orpMv'] as const },
    }
    expect(kinds(unfitted)).not.toContain('controllerSilent')
    const whole = snapshot({ controller: controller({ ph: null, atMs: NOW - 5 * HOUR }, hours(24).slice(0, 19)) })
    expect(judge(whole).findings.filter(({ kind }) => kind === 'controllerSilent')).toMatchObject([{ subject: '' }])
  })

  it('is announced by the time at which it becomes one', () => {
    const given = quiet('ph', 2)
    expect(judge(given).dueAtMs).toBe(NOW + 1)
    expect(kinds(given, undefined, NOW + 1)).toContain('controllerSilent')
  })
})

describe('a bad last value that is old', () => {
  it('outranks unheard: it stays bad until it is retested', () => {
    const given = snapshot({ tests: tested({ ...GOOD, freeChlorineMgL: 0.2 }, 10 * 24) })
    expect(standing(given)).toBe('close')
    expect(kinds(given)).toContain('testOverdue')
  })

  it('and a good one that is old makes nothing fine', () => {
    expect(standing(snapshot({ tests: tested(GOOD, 10 * 24) }))).toBe('unheard')
  })
})

describe('the pH probe against the test kit', () => {
  const at = (ph: number, shown: number) =>
    snapshot({
      tests: tested({ ...GOOD, ph }, 2.5),
      controller: controller({ ph: shown }, hours(24, { ph: still(shown) })),
    })

  it.each([
    [7.4, 7.4, 'none'],
    [7.2, 7.42, 'none'], // 0.2 apart from the nearest value of that hour
    [7.2, 7.45, 'watch'],
    [7.5, 7.25, 'watch'],
    [7.0, 7.55, 'act'],
  ] as const)('tested %s, shown %s: %s', (ph, shown, severity) => {
    expect(severityOf(at(ph, shown), 'phProbeDisagrees')).toBe(severity)
  })

  it('advises calibration and leaves the set point', () => {
    const advice = find(at(7.0, 7.6), 'phProbeDisagrees')
      ?.advice.map(({ text }) => text)
      .join(' ')
    expect(advice).toContain('calibrate the pH probe. Leave the pH set point alone')
  })

  it('stops the feed of acid first when a probe reads far too high', () => {
    const advice = (ph: number, shown: number) => find(at(ph, shown), 'phProbeDisagrees')?.advice[0]?.text
    expect(advice(7.0, 7.6)).toContain('Stop the pH feed by hand')
    expect(advice(7.0, 7.4)).not.toContain('Stop')
    expect(advice(8.0, 7.2)).not.toContain('Stop')
  })

  it.each([
    ['the controller reported nothing in that hour', [hour(20), hour(1)]],
    ['the pH moved through the tested value in that hour', hours(24, { ph: { min: 6.9, mean: 7.4, max: 7.7 } })],
    ['nothing flowed in that hour', hours(24, { ph: still(8), noFlowMin: 20 })],
  ] as const)('is not said when %s', (_case, day) => {
    const given = snapshot({ tests: tested({ ...GOOD, ph: 7.0 }, 2.5), controller: controller({ ph: 7.6 }, [...day]) })
    expect(kinds(given)).not.toContain('phProbeDisagrees')
  })

  it('is told to be over when that hour leaves the day’s window', () => {
    const given = at(7.0, 7.6)
    const silent = { ...given, controller: { ...controller({ ph: 7.6 }), lastHeardAtMs: NOW } }
    let now = NOW
    for (let due = judge(silent, undefined, now).dueAtMs; due && due <= NOW + 21 * HOUR; ) {
      now = due
      due = judge(silent, undefined, now).dueAtMs
    }
    // the test was made in the hour from 3 to 2 hours ago: gone 21 hours from now
    expect(now).toBe(NOW + 21 * HOUR)
    expect(kinds(silent, undefined, now - 1)).toContain('phProbeDisagrees')
    expect(kinds(silent, undefined, now)).not.toContain('phProbeDisagrees')
  })

  it('compares with the newest sample when the hour is not rolled up yet', () => {
    const given = snapshot({
      tests: tested({ ...GOOD, ph: 7.0 }, 10 / 60),
      controller: controller({ ph: 7.6, atMs: NOW - 5 * MINUTE }, []),
    })
    expect(kinds(given)).toContain('phProbeDisagrees')
  })
})

describe('when time alone changes the judgement', () => {
  it('is told: judged just before it is as now, just after it is not', () => {
    const given = snapshot({ tests: tested(GOOD, 2) })
    const { dueAtMs, standing: now } = judge(given)
    expect(dueAtMs).toBe(NOW - 2 * HOUR + 36 * HOUR + 1)
    expect(judge(given, undefined, (dueAtMs as number) - 1).standing).toEqual(now)
    expect(judge(given, undefined, dueAtMs as number).standing).not.toEqual(now)
  })

  it('comes with the controller’s silence when it stands in for tests', () => {
    const given = snapshot({ tests: tested(GOOD, 60), controller: controller() })
    const { dueAtMs } = judge(given)
    expect(dueAtMs).toBe(NOW - 4 * MINUTE + 2 * HOUR + 1)
    expect(standing(given, undefined, dueAtMs as number)).toBe('unheard')
  })

  it('is never when nothing can run out', () => {
    expect(judge(snapshot({ tests: {} })).dueAtMs).toBeNull()
  })
})
