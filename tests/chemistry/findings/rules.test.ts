// How the judgement keeps a profile's rules: which of several counts, for how long a value speaks, what stands in where a profile
// says nothing, and how ages are told. The profiles here are made up, so that one rule at a time decides.
import {
  assess,
  type CodeProfile,
  type Finding,
  type LimitRule,
  renderPhrase,
  type Snapshot,
  type TestRule,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import {
  controller,
  DAY,
  find,
  GOOD,
  HOUR,
  hour,
  judge,
  kinds,
  MINUTE,
  NOW,
  profile,
  severityOf,
  snapshot,
  tested,
  withValues,
} from '../support.ts'

const PRACTICE = { authority: 'practice' as const, document: 'common practice, no source', edition: '', section: '' }
const LAW = { authority: 'law' as const, document: 'A Code', edition: '2026', section: '1' }
const rule = (given: Partial<TestRule> & Pick<TestRule, 'parameters' | 'everyHours'>): TestRule => ({
  key: `${given.parameters.join()} ${given.everyHours}`,
  when: {},
  citation: PRACTICE,
  ...given,
})
const limit = (given: Partial<LimitRule>): LimitRule => ({
  key: 'own',
  thing: 'ph',
  side: 'max',
  value: 7.8,
  unit: 'pH',
  effect: 'act',
  when: {},
  citation: PRACTICE,
  ...given,
})
const own = (given: Partial<CodeProfile>): CodeProfile => ({ ...profile(), key: 'own', ...given })
const by = (given: Snapshot, profileGiven: CodeProfile, nowMs = NOW) => assess(given, profileGiven, nowMs).findings
const text = (finding: Finding | undefined) => finding && renderPhrase(finding.sentence, 'us')
const adviceOf = (finding: Finding | undefined) =>
  finding?.advice.map((line) => renderPhrase(line, 'us')).join(' ') ?? ''

const DAILY = [rule({ parameters: ['freeChlorineMgL', 'ph'], everyHours: 24 })]

describe('how often must be tested', () => {
  const overdue = (tests: TestRule[], given: Snapshot) =>
    by(given, own({ tests }))
      .filter(({ kind }) => kind === 'testOverdue')
      .map((finding) => [finding.subject, text(finding)])
  const old = snapshot({ tests: tested(GOOD, 40) })

  it('a profile that asks for nothing is given a daily test of sanitizer and pH', () => {
    expect(overdue([], old)).toEqual([
      ['fallback.daily', 'Free chlorine and pH must be tested every 24 h; the last test is more than 36 h old.'],
    ])
    const bromine = snapshot({ body: { sanitizerSystem: 'bromine' }, tests: tested({ bromineMgL: 4, ph: 7.4 }, 40) })
    expect(overdue([], bromine).map(([, words]) => words?.split(' must')[0])).toEqual(['Bromine and pH'])
  })

  it('and only for what it leaves out', () => {
    expect(overdue([rule({ parameters: ['ph'], everyHours: 48 })], old)).toEqual([
      ['fallback.daily', 'Free chlorine must be tested every 24 h; the last test is more than 36 h old.'],
    ])
    expect(overdue(DAILY, old).map(([subject]) => subject)).toEqual([DAILY[0]?.key])
    expect(overdue(DAILY, snapshot({ tests: tested(GOOD, 30) }))).toEqual([])
  })

  it('rules for bodies with and without a controller are told apart', () => {
    const tests = [
      rule({ parameters: ['freeChlorineMgL', 'ph'], everyHours: 4, when: { automated: false } }),
      rule({ parameters: ['freeChlorineMgL', 'ph'], everyHours: 24, when: { automated: true } }),
    ]
    const given = snapshot({ tests: tested(GOOD, 10) })
    expect(overdue(tests, given)).toHaveLength(1)
    expect(overdue(tests, { ...given, controller: controller({}, []) })).toEqual([])
  })

  it('the shortest interval of a parameter decides how long its value counts as recent', () => {
    const tests = [
      rule({ parameters: ['freeChlorineMgL', 'ph'], everyHours: 24 }),
      rule({ parameters: ['ph'], everyHours: 8 }),
    ]
    const told = (hoursAgo: number, parameter: 'ph' | 'totalAlkalinityMgL') => {
      const values = { ...GOOD, ph: 7.9, totalAlkalinityMgL: 190 }
      const given = by(snapshot({ tests: tested(values, hoursAgo) }), own({ tests }))
      const high = given.find(({ kind }) => kind === (parameter === 'ph' ? 'phHigh' : 'alkalinityHigh'))
      return text(high)?.includes('not retested since')
    }
    expect([12, 12.001].map((hours) => told(hours, 'ph'))).toEqual([false, true])
    // what no rule asks for is looked at about monthly
    expect([31 * 24, 31 * 24 + 0.001].map((hours) => told(hours, 'totalAlkalinityMgL'))).toEqual([false, true])
  })

  it.each([
    [71, '71 h'],
    [72, '3 days'],
    [168, '7 days'],
  ])('every %d hours reads as %s', (everyHours, words) => {
    const given = snapshot({ tests: tested(GOOD, 400) })
    expect(overdue([rule({ parameters: ['freeChlorineMgL', 'ph'], everyHours })], given)[0]?.[1]).toContain(
      `every ${words};`,
    )
  })

  it.each([
    [0.6, 'more than 30 min old'],
    [0.5, 'more than 15 min old'],
    [1, 'more than 30 min old'],
    [1.01, 'more than 1 h old'],
    [3.5, 'more than 3 h old'],
    [4, 'more than 3 h old'],
    [5, 'more than 4 h old'],
    [13, 'more than 12 h old'],
    [20, 'more than 18 h old'],
    [30, 'more than 24 h old'],
    [40, 'more than 36 h old'],
  ])('an age of %s hours is told as %s', (hoursAgo, words) => {
    const often = [rule({ parameters: ['freeChlorineMgL', 'ph'], everyHours: 0.2 })]
    expect(overdue(often, snapshot({ tests: tested(GOOD, hoursAgo) }))[0]?.[1]).toContain(words)
  })

  it('the age is told anew when its next step is due', () => {
    const often = own({ tests: [rule({ parameters: ['freeChlorineMgL', 'ph'], everyHours: 0.2 })] })
    const { dueAtMs } = assess(snapshot({ tests: tested(GOOD, 5) }), often, NOW)
    expect(dueAtMs).toBe(NOW + HOUR + 1)
    expect(assess(snapshot({ tests: tested(GOOD, 800 * 24) }), often, NOW).dueAtMs).toBeNull()
  })

  it('the oldest of what is late is told, and since when it is late', () => {
    const given = snapshot({ tests: { ...tested({ freeChlorineMgL: 2 }, 50), ...tested({ ph: 7.4 }, 80) } })
    const late = by(given, own({ tests: DAILY })).find(({ kind }) => kind === 'testOverdue')
    expect(text(late)).toContain('more than 3 days old')
    expect(late?.sinceMs).toBe(NOW - 80 * HOUR + 36 * HOUR)
    const never = by(snapshot({ tests: tested({ freeChlorineMgL: 2 }, 50) }), own({ tests: DAILY }))
    const missing = never.find(({ kind }) => kind === 'testOverdue')
    expect(missing?.sinceMs).toBe(NOW - 50 * HOUR)
    expect(text(missing)).toBe('Free chlorine and pH must be tested every 24 h, and pH never was.')
  })

  it('three that never were tested are told as none of them', () => {
    const three = [
      rule({ parameters: ['totalAlkalinityMgL', 'calciumHardnessMgL', 'cyanuricAcidMgL'], everyHours: 168 }),
    ]
    const given = snapshot({ tests: tested({ freeChlorineMgL: 2, ph: 7.4 }) })
    expect(overdue([...DAILY, ...three], given)[0]?.[1]).toContain('and none of them ever was')
  })

  it('a test that carries a time ahead is told so, and counts from when it is judged', () => {
    const given = snapshot({ tests: tested(GOOD, -3), lastTestAtMs: NOW + 3 * HOUR })
    const late = by(given, own({ tests: DAILY })).find(({ kind }) => kind === 'testOverdue')
    expect(text(late)).toContain('carries a time that has not come yet')
    expect(late?.sinceMs).toBe(NOW + 3 * HOUR)
  })

  it.each([
    ['sanitizer alone', { freeChlorineMgL: 60, ph: 1 }, {}, 'act'],
    ['pH alone', { freeChlorineMgL: 1, ph: 60 }, {}, 'act'],
    ['both', { freeChlorineMgL: 60, ph: 60 }, {}, 'act'],
    ['both, and its ORP tells nothing', { freeChlorineMgL: 60, ph: 60 }, { orpMv: null }, 'unheard'],
    ['both, and its pH tells nothing', { freeChlorineMgL: 60, ph: 60 }, { ph: null }, 'unheard'],
  ] as const)('where a controller stands in for %s: %#', (_words, ages, latest, severity) => {
    const tests = { ...tested({ freeChlorineMgL: 2.5 }, ages.freeChlorineMgL), ...tested({ ph: 7.4 }, ages.ph) }
    const late = by(snapshot({ tests, controller: controller(latest, []) }), own({ tests: DAILY }))
    expect(late.find(({ kind }) => kind === 'testOverdue')?.severity).toBe(severity)
  })
})

describe('which limit counts', () => {
  it('one that closes only when it lasts: from the hour that it has, and told ahead', () => {
    const lasting = limit({ value: 7.5, effect: 'close', lastingHours: 5, citation: LAW })
    const given = (hoursAgo: number) => snapshot({ tests: { ...tested(GOOD), ...tested({ ph: 7.7 }, hoursAgo) } })
    const profileGiven = own({ limits: [lasting], tests: DAILY })
    const at = (hoursAgo: number) => by(given(hoursAgo), profileGiven).find(({ kind }) => kind === 'phHigh')?.severity
    expect([5, 5.001].map(at)).toEqual([undefined, 'close'])
    expect(assess(given(3), profileGiven, NOW).dueAtMs).toBe(NOW + 2 * HOUR + 1)
  })

  it('combined chlorine that would close later says so; once it has lasted, it closes', () => {
    const mixed = (before: number[]) =>
      snapshot({
        body: { setting: 'indoor' },
        tests: tested({ ...GOOD, freeChlorineMgL: 1.5, totalChlorineMgL: 2.7 }, 1),
        combinedChlorine: before.map((hoursAgo) => ({ value: 1.2, atMs: NOW - hoursAgo * HOUR })),
      })
    const soon = find(mixed([20, 1]), 'combinedChlorineHigh', 'ca-qc')
    expect(soon?.severity).toBe('act')
    expect(adviceOf(soon)).toContain('Over 1.0 ppm for more than 24 h it closes to bathers')
    const lasted = find(mixed([24.1, 1]), 'combinedChlorineHigh', 'ca-qc')
    expect(lasted?.severity).toBe('close')
    expect(adviceOf(lasted)).not.toContain('it closes to bathers: bring it down')
    const elsewhere = find(withValues({ freeChlorineMgL: 2, totalChlorineMgL: 3.2 }), 'combinedChlorineHigh')
    expect(adviceOf(elsewhere)).not.toContain('it closes to bathers')
  })

  it('a tie of binary arithmetic is no excess, and "or more" includes it', () => {
    const at = (value: number, given: Partial<LimitRule>) =>
      by(
        withValues({ cyanuricAcidMgL: value }),
        own({ limits: [limit({ thing: 'cyanuricAcidMgL', unit: 'mg/L', ...given })] }),
      ).some(({ kind }) => kind === 'cyanuricAcidHigh')
    expect([0.3, 0.1 + 0.2, 0.3 + 1e-8].map((value) => at(value, { value: 0.3 }))).toEqual([false, false, true])
    expect([299.999, 300 - 1e-8, 300].map((value) => at(value, { value: 300, inclusive: true }))).toEqual([
      false,
      true,
      true,
    ])
    expect([1000 + 1e-7, 1000 + 1e-5].map((value) => at(value, { value: 1000 }))).toEqual([false, true])
  })

  it.each([
    ['max', 'over the usual maximum of 7.8', PRACTICE, false],
    ['max', 'over the maximum of 7.8', LAW, false],
    ['max', 'at or over the limit of 7.8', LAW, true],
    ['min', 'under the usual minimum of 8.6', PRACTICE, false],
    ['min', 'at or under the limit of 8.6', LAW, true],
  ] as const)('a %s is told as %s', (side, words, citation, inclusive) => {
    const value = side === 'max' ? 7.8 : 8.6
    const found = by(withValues({ ph: 8.2 }), own({ limits: [limit({ side, value, citation, inclusive })] }))
    expect(text(found.find(({ kind }) => kind === (side === 'max' ? 'phHigh' : 'phLow')))).toContain(words)
  })

  it('a limit on a side of which nothing is said finds nothing', () => {
    const never = own({ limits: [limit({ thing: 'cyanuricAcidMgL', side: 'min', value: 10, unit: 'mg/L' })] })
    expect(by(withValues({ cyanuricAcidMgL: 0 }), never).map(({ kind }) => kind)).not.toContain('cyanuricAcidHigh')
  })

  it('a controller’s graver value stands before a test’s; of one gravity the test’s stands', () => {
    const given = (testedPh: number, shownPh: number) =>
      snapshot({
        tests: { ...tested(GOOD, 5), ...tested({ ph: testedPh }, 5) },
        controller: controller({ ph: shownPh }, []),
      })
    const two = own({
      limits: [limit({ value: 7.5, effect: 'watch' }), limit({ value: 7.7, effect: 'act', key: 'b' })],
      tests: DAILY,
    })
    const source = (testedPh: number, shownPh: number) =>
      by(given(testedPh, shownPh), two).find(({ kind }) => kind === 'phHigh')?.evidence[0]?.source
    expect(source(7.6, 7.75)).toBe('controller')
    expect(source(7.75, 7.6)).toBe('test')
    expect(source(7.6, 7.65)).toBe('test')
  })

  it('what closes by a test keeps bathers out until a retest; what does not says nothing of it', () => {
    const words = 'Keep bathers out until a retest is back within the limit.'
    expect(adviceOf(find(withValues({ ph: 8.2 }), 'phHigh'))).toContain(words)
    expect(adviceOf(find(withValues({ ph: 7.9 }), 'phHigh'))).not.toContain(words)
  })

  it('whose limit the ratio of cyanuric acid is', () => {
    const told = (cyanuricAcidMgL: number) =>
      text(find(withValues({ freeChlorineMgL: 2, cyanuricAcidMgL }), 'disinfectionSlow'))
    expect(told(80)).toBe(
      'Cyanuric acid 80 ppm to free chlorine 2.0 ppm is 40:1, over the usual maximum of 20:1: too little of the chlorine is active.',
    )
    expect(told(100)).toContain('is 50:1, over the maximum of 45:1')
    const none = find(withValues({ freeChlorineMgL: 0, totalChlorineMgL: 0, cyanuricAcidMgL: 60 }), 'disinfectionSlow')
    expect(text(none)).toBe('Cyanuric acid 60 ppm stands against no free chlorine at all; the maximum is 45:1.')
    expect(none?.value).toBeNull()
  })

  it('too little cyanuric acid to be told from none slows nothing', () => {
    const slow = (cyanuricAcidMgL: number) =>
      kinds(withValues({ freeChlorineMgL: 0.1, cyanuricAcidMgL })).includes('disinfectionSlow')
    expect([5, 5.1].map(slow)).toEqual([false, true])
  })

  it('the ratio is as new as the newer of its two tests, and its active part rests on pH and temperature that are known', () => {
    const given = (parts: Partial<Snapshot> = {}) =>
      snapshot({
        tests: {
          ...tested({ ph: 7.4, tempC: 27, totalAlkalinityMgL: 100, calciumHardnessMgL: 250 }, 2),
          ...tested({ freeChlorineMgL: 1 }, 3),
          ...tested({ cyanuricAcidMgL: 60 }, 30),
        },
        ...parts,
      })
    expect(find(given(), 'disinfectionSlow')?.sinceMs).toBe(NOW - 3 * HOUR)
    const active = (tests: Snapshot['tests'], latest?: object) =>
      find(given({ tests, controller: latest ? controller(latest, []) : null }), 'disinfectionSlow')?.evidence.some(
        ({ source, label }) => source === 'derived' && label.includes('active'),
      )
    const { ph, tempC, ...rest } = given().tests
    expect(active({ ...rest, ph, tempC } as Snapshot['tests'])).toBe(true)
    expect(active({ ...rest, tempC } as Snapshot['tests'])).toBe(false)
    expect(active({ ...rest, ph } as Snapshot['tests'])).toBe(false)
    expect(active({ ...rest, tempC } as Snapshot['tests'], { ph: 7.5 })).toBe(true)
    expect(active({ ...rest, ph } as Snapshot['tests'], { tempC: 26 })).toBe(true)
    expect(active({ ...rest } as Snapshot['tests'], { ph: null, tempC: null })).toBe(false)
  })
})

describe('what the controller no longer tells', () => {
  it.each([
    [null, 'Nothing has ever been heard from the controller.', NOW],
    [NOW + 2 * HOUR, 'The controller’s newest sample carries a time that has not come yet: its clock is wrong.', NOW],
    [NOW - 5 * HOUR, 'Nothing has been heard from the controller for more than 4 h.', NOW - 5 * HOUR],
  ])('last heard at %s: %#', (lastHeardAtMs, words, sinceMs) => {
    const given = snapshot({ controller: { ...controller({}, [], lastHeardAtMs), latest: null } })
    const silent = find(given, 'controllerSilent')
    expect(text(silent)).toBe(words)
    expect(silent).toMatchObject({ sinceMs, severity: 'watch' })
    expect(find({ ...given, tests: tested(GOOD, 60) }, 'controllerSilent')?.severity).toBe('unheard')
    const halves = { ...tested({ freeChlorineMgL: 2 }, 1), ...tested({ ph: 7.4 }, 60) }
    expect(find({ ...given, tests: halves }, 'controllerSilent')?.severity).toBe('unheard')
  })

  it('two hours of silence are none', () => {
    const at = (ms: number) =>
      severityOf(snapshot({ controller: controller({ atMs: ms }, [], ms) }), 'controllerSilent')
    expect([NOW - 2 * HOUR, NOW - 2 * HOUR - 1].map(at)).toEqual(['none', 'watch'])
  })

  it('a probe that reports beside it is not silent; one without a channel is not missed', () => {
    const given = (latest: object, channels: ('ph' | 'orpMv')[], heard: boolean) => {
      const made = controller(latest, [hour(4, { ph: null, orpMv: null })], heard ? undefined : NOW - 9 * HOUR)
      return snapshot({ controller: { ...made, channels } })
    }
    const subjects = (one: Snapshot) =>
      judge(one)
        .findings.filter(({ kind }) => kind === 'controllerSilent')
        .map(({ subject }) => subject)
    expect(subjects(given({ ph: null, orpMv: null }, ['ph', 'orpMv'], true)).sort()).toEqual(['orpMv', 'ph'])
    expect(subjects(given({ ph: 7.4, orpMv: null }, ['ph', 'orpMv'], true))).toEqual(['orpMv'])
    expect(subjects(given({ ph: null, orpMv: null }, ['ph'], true))).toEqual(['ph'])
    expect(subjects(given({ ph: null, orpMv: null }, ['ph', 'orpMv'], false))).toEqual([''])
    const silent = find(given({ ph: null }, ['ph'], true), 'controllerSilent')
    expect(adviceOf(silent)).toContain('look at the probe and its cable')
    expect(silent?.cautions).toContain('localCodeFirst')
  })

  it('untested water stands since its controller first told of it', () => {
    const since = (made: Snapshot['controller']) =>
      find(snapshot({ tests: {}, controller: made }), 'neverTested')?.sinceMs
    expect(since(controller({}, [hour(9), hour(3)]))).toBe(NOW - 9 * HOUR)
    expect(since(controller({}, [], NOW - 7 * MINUTE))).toBe(NOW - 7 * MINUTE)
    expect(since(null)).toBe(NOW)
  })

  it('hours that lie ahead or a day behind are not looked at', () => {
    const far = { ph: { min: 8.5, mean: 8.5, max: 8.5 }, phFeedMin: 20 }
    const day = [hour(26, far), hour(25, far), hour(24, far), hour(-1, far), hour(-2, far), hour(-3, far)]
    expect(kinds(snapshot({ tests: tested(GOOD, 30), controller: controller({ ph: 7.4 }, day) }))).not.toContain(
      'phNotHeld',
    )
    expect(DAY).toBe(24 * HOUR)
  })
})
