import {
  BadRuleValue,
  deriveProfile,
  limitRangeFor,
  limitRulesFor,
  PROFILES,
  type ProfileOverride,
  profileByKey,
  profileDifference,
  testRulesFor,
  UnknownRule,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { POOL, profile } from '../support.ts'

const override = (ruleKey: string, value: number | null): ProfileOverride => ({
  ruleKey,
  value,
  reason: 'the owner asks for it',
  citation: 'Water plan of the owner, 2026',
})
const derive = (...overrides: ProfileOverride[]) => deriveProfile(profile(), { key: 'own', name: 'Own' }, overrides)

describe('every published profile', () => {
  it.each(PROFILES.map((one) => [one.key, one] as const))('%s cites law only with edition and section', (_key, one) => {
    const rules = [...one.limits, ...one.tests, ...one.cyanuricAcidForbidden]
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

  it.each(PROFILES.map((one) => [one.key, one] as const))('%s never closes a body by mere practice', (_key, one) => {
    for (const rule of one.limits) if (rule.effect === 'close') expect(rule.citation.authority, rule.key).toBe('law')
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
    expect(profileDifference(own, profile())).toEqual([
      expect.objectContaining({ ruleKey: 'practice.ph.max', unit: 'pH', parentValue: 7.8, value: 7.6 }),
      expect.objectContaining({
        ruleKey: 'practice.test.balance',
        unit: 'h',
        parentValue: 168,
        value: null,
        citation: null,
      }),
    ])
    expect(profileDifference(profile(), profile())).toEqual([])
  })
})
