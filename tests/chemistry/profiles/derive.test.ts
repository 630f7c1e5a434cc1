import {
  allRules,
  askedPhrase,
  BadRuleValue,
  CLOSURE_TRIGGERS,
  DEFAULT_PROFILE_KEY,
  deriveProfile,
  type LimitRule,
  laxerThanLaw,
  limitRangeFor,
  limitRulesFor,
  PROFILES,
  type ProfileAddition,
  type ProfileOverride,
  profileByKey,
  profileDifference,
  RuleThere,
  renderPhrase,
  ruleName,
  SANITIZER_SYSTEMS,
  SETTINGS,
  testRulesFor,
  UnknownRule,
  USE_CLASSES,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { find, POOL, profile, severityOf, withValues } from '../support.ts'

const override = (ruleKey: string, value: number | null): ProfileOverride => ({
  ruleKey,
  value,
  reason: 'the owner asks for it',
  citation: 'Water plan of the owner, 2026',
})
const OWN = { key: 'own', name: 'Own' }
const derive = (...overrides: ProfileOverride[]) => deriveProfile(profile(), OWN, overrides)
const addition = (given: Partial<ProfileAddition> = {}): ProfileAddition => ({
  thing: 'totalAlkalinityMgL',
  side: 'max',
  effect: 'act',
  value: 150,
  when: {},
  reason: 'scale on the heaters',
  citation: 'Water plan of the owner, 2026',
  ...given,
})
const deriveWith = (...additions: ProfileAddition[]) => deriveProfile(profile(), OWN, [], additions)
const EVERY_PROFILE = PROFILES.map((one) => [one.key, one] as const)

describe('every published profile', () => {
  it.each(EVERY_PROFILE)('%s cites law only with edition and section', (_key, one) => {
    const rules = [...one.limits, ...one.tests, ...one.cyanuricAcidForbidden, ...one.closures]
    for (const { key, citation } of rules) {
      if (citation.authority === 'law') {
        expect(citation.edition, key).not.toBe('')
        expect(citation.section, key).not.toBe('')
        expect(JSON.stringify(citation), key).not.toMatch(/from memory/i)
      } else {
        expect(citation, key).toEqual({
          authority: 'practice',
          document: 'common practice, no source',
          edition: '',
          section: '',
        })
      }
    }
    expect(new Set(rules.map(({ key }) => key)).size, 'keys are unique').toBe(rules.length)
  })

  it.each(EVERY_PROFILE)('%s never closes a body by mere practice', (_key, one) => {
    for (const rule of one.limits) if (rule.effect === 'close') expect(rule.citation.authority, rule.key).toBe('law')
  })

  it.each(EVERY_PROFILE)('%s says what of its text was not read', (_key, one) => {
    expect(one.notRead).toMatch(/not read|could not be read/)
    expect(one.edition).not.toBe('')
  })

  it.each(EVERY_PROFILE)('%s closes by what is seen, each trigger once', (_key, one) => {
    const triggers = one.closures.map(({ trigger }) => trigger)
    expect(triggers).toEqual(expect.arrayContaining(['treatmentStopped', 'bottomNotVisible']))
    expect(new Set(triggers).size).toBe(triggers.length)
    for (const trigger of triggers) expect(CLOSURE_TRIGGERS).toContain(trigger)
    for (const { citation, key } of one.closures) expect(citation.authority, key).toBe('law')
  })

  it.each(EVERY_PROFILE)('%s has no limit that counts for no water', (_key, one) => {
    const waters = [
      { ph: null, tempC: null },
      { ph: 8, tempC: 40 },
    ]
    const counting = new Set<string>()
    for (const useClass of USE_CLASSES)
      for (const setting of SETTINGS)
        for (const sanitizerSystem of SANITIZER_SYSTEMS)
          for (const cyanuricAcidUsed of [true, false])
            for (const water of waters) {
              const body = { ...POOL, useClass, setting, sanitizerSystem, cyanuricAcidUsed }
              for (const { key } of limitRulesFor(one, body, water)) counting.add(key)
            }
    expect(one.limits.filter(({ key }) => !counting.has(key)).map(({ key }) => key)).toEqual([])
  })

  it.each(EVERY_PROFILE)('%s gives every body a minimum of its sanitizer that closes', (_key, one) => {
    for (const useClass of USE_CLASSES)
      for (const setting of SETTINGS)
        for (const sanitizerSystem of SANITIZER_SYSTEMS)
          for (const cyanuricAcidUsed of [true, false]) {
            const body = { ...POOL, useClass, setting, sanitizerSystem, cyanuricAcidUsed }
            const thing = sanitizerSystem === 'bromine' ? 'bromineMgL' : 'freeChlorineMgL'
            const closing = limitRulesFor(one, body).filter(
              (rule) => rule.thing === thing && rule.side === 'min' && rule.effect === 'close',
            )
            expect(closing, JSON.stringify(body)).toHaveLength(1)
          }
  })

  it.each(EVERY_PROFILE)('%s has a name for every rule, in both systems of units, and no name twice', (_key, one) => {
    for (const system of ['us', 'metric'] as const) {
      const names = allRules(one).map((any) => renderPhrase(ruleName(any), system))
      expect(new Set(names).size).toBe(names.length)
      for (const text of [...names, ...allRules(one).map((any) => renderPhrase(askedPhrase(any), system))]) {
        expect(text).not.toMatch(/undefined|NaN|\{\d\}|MgL/)
        expect(text.length).toBeGreaterThan(2)
      }
    }
  })

  it('has the default first', () => {
    expect(PROFILES[0]?.key).toBe(DEFAULT_PROFILE_KEY)
    expect(new Set(PROFILES.map(({ key }) => key)).size).toBe(PROFILES.length)
    expect(new Set(PROFILES.map(({ name }) => name)).size).toBe(PROFILES.length)
  })

  it('is found by its key, and another is not', () => {
    expect(profileByKey('us-ca')?.name).toBe('California public pools')
    expect(profileByKey('nowhere')).toBeUndefined()
  })
})

describe('the rules for a body', () => {
  it('are the first that fit, per thing, side and effect', () => {
    const spa = limitRulesFor(profile(), { ...POOL, useClass: 'spa', cyanuricAcidUsed: true })
    const minima = spa.filter(({ thing, side }) => thing === 'freeChlorineMgL' && side === 'min')
    expect(minima.map(({ key }) => key)).toEqual(['mahc.freeChlorine.min.warm'])
  })

  it.each([
    ['ph', 7.2, 7.8],
    ['freeChlorineMgL', 1, 8],
    ['orpMv', 650, 900],
    ['saturationIndex', -0.5, 0.5],
    ['tempC', null, 40],
    ['saltMgL', null, null],
  ] as const)('as the range outside which there is a finding: %s', (thing, min, max) => {
    const range = limitRangeFor(profile(), POOL, thing)
    expect([range.min?.value ?? null, range.max?.value ?? null]).toEqual([min, max])
  })

  it('keep bromine rules from chlorine water and the other way round', () => {
    expect(limitRangeFor(profile(), POOL, 'bromineMgL').min).toBeNull()
    expect(limitRangeFor(profile(), { ...POOL, sanitizerSystem: 'bromine' }, 'freeChlorineMgL').min).toBeNull()
  })

  it('ask for tests by what the body is', () => {
    const keys = (body = POOL) => testRulesFor(profile('us-ca'), body, false).map(({ key }) => key)
    expect(keys()).toEqual(['ca.test.chlorine', 'practice.test.balance'])
    expect(keys({ ...POOL, cyanuricAcidUsed: true })).toContain('ca.test.cyanuricAcid')
    expect(keys({ ...POOL, sanitizerSystem: 'bromine' })).toContain('ca.test.bromine')
  })

  it('may depend on a controller', () => {
    const [daily] = profile().tests
    if (!daily) throw new Error('no test rule')
    const both = {
      ...profile(),
      tests: [
        { ...daily, key: 'automated', everyHours: 24, when: { automated: true } },
        { ...daily, key: 'byHand', everyHours: 2, when: { automated: false } },
      ],
    }
    expect(testRulesFor(both, POOL, true).map(({ key }) => key)).toEqual(['automated'])
    expect(testRulesFor(both, POOL, false).map(({ key }) => key)).toEqual(['byHand'])
  })
})

describe('a company’s own profile', () => {
  it('replaces a value, keeps what passing it means, and says whose it is', () => {
    const own = derive(override('practice.ph.max', 7.6))
    expect(own).toMatchObject({ key: 'own', name: 'Own', parentKey: 'cdc-mahc' })
    const rule = own.limits.find(({ key }) => key === 'practice.ph.max')
    expect(rule).toMatchObject({
      value: 7.6,
      effect: 'act',
      citation: { authority: 'company', document: 'Water plan of the owner, 2026' },
    })
    expect(own.limits).toHaveLength(profile().limits.length)
  })

  it('takes rules away, of every sort', () => {
    const own = derive(
      override('practice.alkalinity.min', null),
      override('practice.test.balance', null),
      override('practice.cyanuricAcid.forbidden.indoor', null),
    )
    expect(own.limits).toHaveLength(profile().limits.length - 1)
    expect(own.tests).toHaveLength(profile().tests.length - 1)
    expect(own.cyanuricAcidForbidden).toHaveLength(1)
  })

  it('changes a test interval', () => {
    const own = derive(override('practice.test.chlorine', 4))
    expect(testRulesFor(own, POOL, false)[0]?.everyHours).toBe(4)
  })

  it('leaves its parent alone', () => {
    const before = structuredClone(profile())
    derive(override('practice.ph.max', 7.6), override('practice.alkalinity.min', null))
    expect(profile()).toEqual(before)
  })

  it('refuses a rule that its parent does not have, and names those that it has', () => {
    expect(() => derive(override('pH.top', 7.6))).toThrow(UnknownRule)
    expect(() => derive(override('pH.top', 7.6))).toThrow(/cdc-mahc has no rule pH\.top.*practice\.ph\.max/)
  })

  it.each([
    ['practice.ph.max', 77],
    ['practice.ph.max', Number.NaN],
    ['practice.freeChlorine.max', -1],
    ['practice.test.chlorine', 0],
    ['practice.cyanuricAcid.forbidden.indoor', 5],
  ])('refuses %s at %s', (ruleKey, value) => {
    expect(() => derive(override(ruleKey, value))).toThrow(BadRuleValue)
  })

  it('takes a negative saturation index', () => {
    expect(() => derive(override('practice.saturation.min.watch', -0.3))).not.toThrow()
  })

  it('shows where it differs from its parent, and only there', () => {
    const own = derive(
      override('practice.ph.max', 7.6),
      override('practice.test.balance', null),
      override('practice.orp.min', 600),
    )
    expect(profileDifference(own, profile())).toMatchObject([
      {
        ruleKey: 'practice.ph.max',
        before: expect.objectContaining({ rule: expect.objectContaining({ value: 7.8 }) }),
        after: expect.objectContaining({ rule: expect.objectContaining({ value: 7.6 }) }),
      },
      {
        ruleKey: 'practice.test.balance',
        before: expect.objectContaining({ sort: 'test', rule: expect.objectContaining({ everyHours: 168 }) }),
        after: null,
      },
    ])
    expect(profileDifference(profile(), profile())).toEqual([])
  })

  it('keeps what the law says of the day where tests are made more often, and not where they are made less', () => {
    const tests = (value: number) =>
      deriveProfile(profile('us-md'), OWN, [override('md.test.chlorine.automated', value)]).tests.find(
        ({ key }) => key === 'md.test.chlorine.automated',
      )
    expect(tests(4)).toMatchObject({ everyHours: 4, perDay: 3, times: expect.stringContaining('noon') })
    expect(tests(12)?.everyHours).toBe(12)
    expect(tests(12)?.perDay).toBeUndefined()
    expect(tests(12)?.times).toBeUndefined()
  })

  it('keeps what closes without a number and what was not read', () => {
    const own = deriveProfile(profile('ca-qc'), OWN, [override('qc.ph.max', 7.6)])
    expect(own.closures).toEqual(profile('ca-qc').closures)
    expect(own.notRead).toBe(profile('ca-qc').notRead)
    expect(() => derive(override('mahc.closure.treatmentStopped', null))).toThrow(UnknownRule)
  })
})

describe('a limit that the company adds', () => {
  it('is judged by, beside those of its parent', () => {
    const own = deriveWith(addition())
    const rule = own.limits.find(({ key }) => key === 'own.totalAlkalinityMgL.max.act')
    expect(rule).toMatchObject({ value: 150, unit: 'mg/L', effect: 'act', citation: { authority: 'company' } })
    expect(own.limits).toHaveLength(profile().limits.length + 1)
    expect(limitRangeFor(own, POOL, 'totalAlkalinityMgL').max?.value).toBe(150)
  })

  it('is shown as added', () => {
    const [only, ...rest] = profileDifference(deriveWith(addition()), profile())
    expect(rest).toEqual([])
    expect(only).toMatchObject({ before: null, after: { sort: 'limit', rule: { value: 150 } } })
  })

  it('can be about some water only, twice where they never meet', () => {
    const own = deriveWith(
      addition({ when: { useClass: ['spa'] } }),
      addition({ value: 140, when: { useClass: ['pool'] } }),
    )
    expect(limitRangeFor(own, { ...POOL, useClass: 'spa' }, 'totalAlkalinityMgL').max?.value).toBe(150)
    expect(limitRangeFor(own, POOL, 'totalAlkalinityMgL').max?.value).toBe(140)
    expect(limitRangeFor(own, { ...POOL, useClass: 'wading' }, 'totalAlkalinityMgL').max?.value).toBe(180)
  })

  it('can be changed and taken away again by a profile derived from it', () => {
    const first = deriveWith(addition())
    const second = deriveProfile(first, { key: 'second', name: 'Second' }, [
      override('own.totalAlkalinityMgL.max.act', null),
    ])
    expect(second.limits.map(({ key }) => key)).not.toContain('own.totalAlkalinityMgL.max.act')
  })

  it.each([
    ['the parent has one for all water', [addition({ effect: 'watch' })], 0, 'practice.alkalinity.max'],
    [
      'the parent has one for some of the same water',
      [
        addition({
          thing: 'freeChlorineMgL',
          side: 'min',
          effect: 'close',
          value: 2,
          when: { useClass: ['spa', 'pool'] },
        }),
      ],
      0,
      'mahc.freeChlorine.min.warm',
    ],
    [
      'another was added for it',
      [addition(), addition({ when: { useClass: ['spa'] } })],
      1,
      'own.totalAlkalinityMgL.max.act',
    ],
  ] as const)('is refused where %s', (_why, additions, index, ruleKey) => {
    try {
      deriveWith(...additions)
      expect.unreachable()
    } catch (error) {
      expect(error).toBeInstanceOf(RuleThere)
      expect(error).toMatchObject({ index, ruleKey })
    }
  })

  it.each([
    [{ value: -1 }],
    [{ value: Number.NaN }],
    [{ thing: 'ph', value: 15, effect: 'close', when: { useClass: ['spa'] }, side: 'max' }],
  ] as const)('is refused where it cannot be: %o', (given) => {
    const parent = { ...profile(), limits: profile().limits.filter(({ thing }) => thing !== 'ph') }
    expect(() => deriveProfile(parent, OWN, [], [addition(given)])).toThrow(BadRuleValue)
  })

  it('never makes anything laxer: whatever was found before is found as gravely', () => {
    const own = deriveWith(
      addition({ value: 250, effect: 'close' }),
      addition({ side: 'min', value: 10, effect: 'close' }),
    )
    expect(own.limits.filter(({ citation }) => citation.authority !== 'company')).toEqual(profile().limits)
    expect(limitRangeFor(own, POOL, 'totalAlkalinityMgL')).toMatchObject({ min: { value: 60 }, max: { value: 180 } })
  })
})

describe('what is laxer than the law', () => {
  const lax = (key: string, ...overrides: ProfileOverride[]) =>
    laxerThanLaw(deriveProfile(profile(key), OWN, overrides), profile(key)).map(({ ruleKey }) => ruleKey)

  it.each([
    ['a lower minimum', 'us-ca', 'ca.freeChlorine.min', 0.9, true],
    ['the same minimum', 'us-ca', 'ca.freeChlorine.min', 1, false],
    ['a higher minimum', 'us-ca', 'ca.freeChlorine.min', 1.1, false],
    ['a higher maximum', 'us-nc', 'nc.ph.max', 7.9, true],
    ['a lower maximum', 'us-nc', 'nc.ph.max', 7.7, false],
    ['a limit of law taken away', 'us-nc', 'nc.ph.max', null, true],
    ['rarer tests', 'au-vic', 'vic.test.chlorine', 5, true],
    ['more frequent tests', 'au-vic', 'vic.test.chlorine', 3, false],
    ['tests taken away', 'au-vic', 'vic.test.chlorine', null, true],
    ['cyanuric acid allowed against the law', 'us-ny', 'ny.cyanuricAcid.forbidden', null, true],
    ['a laxer practice', 'cdc-mahc', 'practice.alkalinity.max', 300, false],
    ['a practice taken away', 'cdc-mahc', 'practice.cyanuricAcid.forbidden.indoor', null, false],
  ] as const)('%s: %s %s at %s', (_what, key, ruleKey, value, isLax) => {
    expect(lax(key, override(ruleKey, value))).toEqual(isLax ? [ruleKey] : [])
  })

  it('is measured at the law, whatever a company’s own profile in between says', () => {
    const root = profile('us-nc')
    const strict = deriveProfile(root, OWN, [override('nc.ph.max', 7.6)])
    const back = deriveProfile(strict, { key: 'back', name: 'Back' }, [override('nc.ph.max', 7.8)])
    const over = deriveProfile(strict, { key: 'over', name: 'Over' }, [override('nc.ph.max', 7.9)])
    expect(laxerThanLaw(back, root)).toEqual([])
    expect(laxerThanLaw(over, root)).toMatchObject([{ ruleKey: 'nc.ph.max', law: { rule: { value: 7.8 } } }])
  })

  it('is nothing in what was published', () => {
    for (const one of PROFILES) expect(laxerThanLaw(one, one)).toEqual([])
  })
})

describe('the words of a rule', () => {
  const limitNamed = (key: string, profileKey: string): LimitRule => {
    const rule = profile(profileKey).limits.find((one) => one.key === key)
    if (!rule) throw new Error(`no rule ${key}`)
    return rule
  }
  it.each([
    [
      'ny.freeChlorine.min.highPh',
      'us-ny',
      'Free chlorine, minimum (closed to bathers): swimming pools; chlorine; without cyanuric acid; at a pH over 7.8',
      'at least 1.5 ppm',
    ],
    [
      'qc.orp.min.hot',
      'ca-qc',
      'ORP, minimum (a person today): swimming pools, spas, wading pools and splash pads; water over 95 °F',
      'over 750 mV',
    ],
    ['mahc.cyanuricAcid.max', 'cdc-mahc', 'Cyanuric acid, maximum (a person today)', 'under 300 ppm'],
    [
      'qc.combinedChlorine.max.close',
      'ca-qc',
      'Combined chlorine, maximum that lasts (closed to bathers): swimming pools, spas, wading pools and splash pads',
      'at most 1.0 ppm, not passed for more than 24 h',
    ],
    ['practice.temperature.max', 'cdc-mahc', 'Water temperature, maximum (a person today)', 'at most 104 °F'],
  ] as const)('%s of %s', (key, profileKey, name, asked) => {
    const any = { sort: 'limit' as const, rule: limitNamed(key, profileKey) }
    expect([renderPhrase(ruleName(any), 'us'), renderPhrase(askedPhrase(any), 'us')]).toEqual([name, asked])
  })

  it.each([
    [
      'us-md',
      'md.test.chlorine',
      'Test of free chlorine, total chlorine and pH: chlorine',
      'every 2 h, from half an hour before opening',
    ],
    [
      'us-md',
      'md.test.chlorine.automated',
      'Test of free chlorine, total chlorine and pH: chlorine; with a controller',
      '3 times a day, half an hour before opening, between noon and 2 p.m., and the last done 2 hours before closing',
    ],
    ['us-ca', 'ca.test.cyanuricAcid', 'Test of cyanuric acid: with cyanuric acid', 'every 31 days'],
    ['us-ca', 'practice.test.balance', 'Test of total alkalinity and calcium hardness', 'every week'],
    ['us-ca', 'ca.test.chlorine', 'Test of free chlorine and pH: chlorine', 'once a day'],
  ] as const)('%s, %s', (profileKey, key, name, asked) => {
    const any = allRules(profile(profileKey)).find(({ rule }) => rule.key === key)
    if (!any) throw new Error(`no rule ${key}`)
    expect([renderPhrase(ruleName(any), 'us'), renderPhrase(askedPhrase(any), 'us')]).toEqual([name, asked])
  })
})

describe('limits that depend on the water itself', () => {
  const at = (ph: number | undefined, freeChlorineMgL = 1) =>
    severityOf(withValues({ ph, freeChlorineMgL, totalChlorineMgL: undefined }), 'freeChlorineLow', 'us-ny')

  it.each([
    [7.7, 'none'],
    [7.8, 'none'],
    [7.81, 'close'],
    [8, 'close'],
    [undefined, 'none'],
  ])('free chlorine 1.0 in New York at pH %s: %s', (ph, severity) => {
    expect(at(ph)).toBe(severity)
  })

  it('name what they depend on', () => {
    const low = find(withValues({ ph: 8, freeChlorineMgL: 1, totalChlorineMgL: undefined }), 'freeChlorineLow', 'us-ny')
    expect(low && renderPhrase(low.sentence, 'us')).toBe(
      'Free chlorine 1.0 ppm is under the minimum of 1.5 ppm at a pH over 7.8.',
    )
    const hot = find(withValues({ tempC: 38, freeChlorineMgL: 1 }, { useClass: 'spa' }), 'freeChlorineLow', 'ca-qc')
    expect(hot && renderPhrase(hot.sentence, 'us')).toBe(
      'Free chlorine 1.0 ppm is under the minimum of 2.0 ppm in water over 95 °F.',
    )
  })

  it('show in a range only where the water is known', () => {
    const range = (ph: number | null) =>
      limitRangeFor(profile('us-ny'), POOL, 'freeChlorineMgL', { ph, tempC: null }).min
    expect([range(null)?.value, range(7.8)?.value, range(7.9)?.value]).toEqual([0.6, 0.6, 1.5])
    expect(limitRangeFor(profile('us-ny'), POOL, 'freeChlorineMgL').min?.value).toBe(0.6)
  })
})
