import {
  type AnyRule,
  allRules,
  type CodeProfile,
  deriveProfile,
  PROFILES,
  type ProfileAddition,
  type ProfileOverride,
} from '@sightglass/chemistry'

import { type Problem, type ProfileDetail, profileCreate } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import {
  ABOUT_ALL,
  ABOUT_TESTS,
  aboutOptions,
  beginWith,
  type Draft,
  draftOf,
  emptyAddition,
  emptyRule,
  errorsFrom,
  laxOf,
  readDraft,
  rulesAbout,
} from '../../../apps/web/screens/profiles/editor.ts'
import {
  inheritedLaxer,
  prepareDifference,
  prepareProfile,
  prepareVersions,
  ruleLine,
} from '../../../apps/web/screens/profiles/prepare.ts'

const published = (key: string) => PROFILES.find((profile) => profile.key === key) as CodeProfile
const NY = published('us-ny')
const NC = published('us-nc')
const why = { reason: 'plaster', citation: 'Larkmead water book 3' }
const HOT = 'ny.temperature.max'
const hotter: ProfileOverride = { ruleKey: HOT, value: 38, ...why }
const SOLIDS: ProfileAddition = { thing: 'tdsMgL', side: 'max', effect: 'act', value: 2500, when: {}, ...why }

/** What the API answers of a company's own profile. */
function detailOf(
  parent: CodeProfile,
  versions: { overrides?: ProfileOverride[]; additions?: ProfileAddition[]; person?: string }[],
  root = parent,
): ProfileDetail {
  const stored = versions.map(({ overrides = [], additions = [], person = 'Ines Calloway' }, index) => ({
    version: versions.length - index,
    name: 'House rules',
    overrides,
    additions,
    person,
    reason: 'New water plan',
    at: '2026-11-25T06:00:00.000Z',
  }))
  const [newest] = stored
  const own = { key: 'own-house-rules', name: 'House rules' }
  const profile = deriveProfile(parent, own, newest?.overrides ?? [], newest?.additions ?? [])
  // over the wire, as JSON
  return JSON.parse(
    JSON.stringify({
      profile,
      parent,
      root,
      versions: stored,
      lost: [],
      retiredAt: null,
      usedBy: { facilities: [], profiles: [] },
    }),
  )
}
const draft = (rules: Draft['rules'], additions: Draft['additions'] = []): Draft => ({
  name: 'House rules',
  reason: '',
  rules,
  additions,
})
const typed = (value: string, given: object = {}) => ({ ...emptyRule, value, ...why, ...given })
const anyOf = (profile: CodeProfile, key: string) => allRules(profile).find(({ rule }) => rule.key === key) as AnyRule
const keysOf = (rules: AnyRule[]) => rules.map(({ rule }) => rule.key)
const TESTS = 'practice.test.chlorine'

describe('a draft', () => {
  it('of a new profile is empty, whatever it comes from', () => {
    expect(draftOf(null, 'us')).toEqual({ name: '', reason: '', rules: {}, additions: [] })
    expect(draftOf({ ...detailOf(NY, [{}]), parent: null, versions: [] }, 'us').rules).toEqual({})
  })

  it.each([
    ['us', '100.4'],
    ['metric', '38'],
  ] as const)('of a stored one holds its rules in %s units, and reads back as it was stored', (units, value) => {
    const gone: ProfileOverride = { ruleKey: 'ny.calcium.max', value: null, ...why, laxerConfirmed: true }
    const spas: ProfileAddition = {
      ...SOLIDS,
      when: { useClass: ['spa'], setting: 'indoor', cyanuricAcidUsed: false, sanitizerSystem: ['bromine'] },
    }
    const begun = draftOf(detailOf(NY, [{ overrides: [hotter, gone], additions: [spas] }]), units)
    expect(begun.rules[HOT]).toEqual({ value, takenAway: false, laxerConfirmed: false, ...why })
    expect(begun.rules['ny.calcium.max']).toEqual({ value: '', takenAway: true, laxerConfirmed: true, ...why })
    expect(begun.additions).toEqual([
      {
        ...{ thing: 'tdsMgL', side: 'max', effect: 'act', value: '2500', ...why },
        ...{ useClass: ['spa'], setting: 'indoor', cyanuricAcid: 'without', sanitizerSystem: ['bromine'] },
      },
    ])
    const { overrides, additions, errors } = readDraft({ ...begun, reason: 'again' }, NY, NY, units, true)
    expect(errors).toEqual({})
    expect(overrides[0]?.value).toBeCloseTo(38, 9)
    expect(overrides[1]).toEqual(gone)
    expect(additions).toEqual([spas])
  })

  it('lets a rule go that the parent no longer has', () => {
    const detail = detailOf(NY, [{ overrides: [hotter] }])
    const parent = { ...NY, limits: NY.limits.filter(({ key }) => key !== HOT) }
    expect(draftOf({ ...detail, parent }, 'us').rules).toEqual({})
  })

  it('begins a rule with the value that it takes the place of', () => {
    expect(beginWith(anyOf(NY, HOT), 'us')).toEqual({ ...emptyRule, value: '104' })
    expect(beginWith(anyOf(NY, HOT), 'metric').value).toBe('40')
    expect(beginWith(anyOf(NY, 'ny.test.chlorine'), 'us').value).toBe('8')
    // a rule without a number can only go
    expect(beginWith(anyOf(NY, 'ny.cyanuricAcid.forbidden'), 'us')).toEqual({ ...emptyRule, takenAway: true })
  })
})

describe('what was typed', () => {
  it('is read in the reader’s units and trimmed, as the API takes it', () => {
    const addition = { ...emptyAddition, value: '1,500', reason: ' scale ', citation: ' ours ' }
    const read = readDraft(draft({ [HOT]: typed(' 100.4 ') }, [addition]), NY, NY, 'us', false)
    expect(read.errors).toEqual({})
    expect(read.overrides[0]?.value).toBeCloseTo(38, 9)
    expect(read.additions).toEqual([
      {
        thing: 'totalAlkalinityMgL',
        side: 'max',
        effect: 'act',
        value: 1500,
        when: {},
        reason: 'scale',
        citation: 'ours',
      },
    ])
    const { errors: _, ...rules } = read
    const body = { name: 'House rules', parentKey: NY.key, person: 'D. Fenn', ...rules }
    expect(profileCreate.safeParse(body).success).toBe(true)
    expect(readDraft(draft({ [HOT]: typed('38') }), NY, NY, 'metric', false).overrides[0]?.value).toBe(38)
  })

  it('says what is wrong at each field', () => {
    const bad = { [HOT]: { ...emptyRule, value: 'hot' }, [TESTS]: typed('') }
    const { errors } = readDraft({ ...draft(bad, [emptyAddition]), name: ' ' }, NY, NY, 'us', true)
    expect(errors).toEqual({
      name: 'must not be empty',
      reason: 'must say why it is changed',
      [`rule.${HOT}.value`]: '“hot” is not a number',
      [`rule.${HOT}.reason`]: 'must say why',
      [`rule.${HOT}.citation`]: 'must say whose limit it is',
      [`rule.${TESTS}.value`]: 'must be a number',
      'addition.0.value': 'must be a number',
      'addition.0.reason': 'must say why',
      'addition.0.citation': 'must say whose limit it is',
    })
  })

  it('must set something', () => {
    expect(Object.keys(readDraft(draft({}), NY, NY, 'us', false).errors)).toEqual(['rules'])
  })
})

describe('less than the law asks for', () => {
  const PH = 'nc.ph.max'
  it.each([
    ['a higher maximum', { [PH]: typed('7.9') }, [PH]],
    ['the law’s own value', { [PH]: typed('7.8') }, []],
    ['a stricter one', { [PH]: typed('7.6') }, []],
    ['a lower minimum', { 'nc.ph.min': typed('7.1') }, ['nc.ph.min']],
    ['a rule of law taken away', { [PH]: typed('', { takenAway: true }) }, [PH]],
    ['a rule of practice taken away', { 'practice.alkalinity.max': typed('', { takenAway: true }) }, []],
    ['nothing typed yet', { [PH]: typed('') }, []],
    ['a value that cannot be', { [PH]: typed('15') }, []],
  ])('%s', (_what, rules, lax) => {
    expect([...laxOf(draft(rules), NC, NC, 'us').keys()]).toEqual(lax)
  })

  it('must be confirmed, and says which law', () => {
    const words = laxOf(draft({ [PH]: typed('7.9') }), NC, NC, 'us').get(PH)
    expect(words).toMatch(/^Laxer than the law, which asks for: at most 7\.8 \(North Carolina.*2535\(1\)/)
    const at = `rule.${PH}.laxerConfirmed`
    expect(readDraft(draft({ [PH]: typed('7.9') }), NC, NC, 'us', false).errors).toEqual({
      [at]: 'must be confirmed, or the value made as strict as the law',
    })
    const { overrides, errors } = readDraft(
      draft({ [PH]: typed('7.9', { laxerConfirmed: true }) }),
      ...([NC, NC, 'us', false] as const),
    )
    expect([errors, overrides]).toEqual([{}, [{ ruleKey: PH, value: 7.9, ...why, laxerConfirmed: true }]])
  })

  it('is measured at the law, in the reader’s degrees, through a profile in between', () => {
    const strict = deriveProfile(NY, { key: 'own', name: 'own' }, [hotter])
    expect(laxOf(draft({ [HOT]: typed('104') }), strict, NY, 'us').size).toBe(0)
    expect(laxOf(draft({ [HOT]: typed('105') }), strict, NY, 'us').get(HOT)).toMatch(/at most 104/)
    expect(laxOf(draft({ [HOT]: typed('40.5') }), strict, NY, 'metric').get(HOT)).toMatch(/at most 40/)
  })
})

describe('what the API complains of', () => {
  it('stands at the field that it is about, the rest in a list', () => {
    const paths = [
      'body.overrides.0.laxerConfirmed',
      'body.overrides.0',
      'body.overrides.4.value',
      'body.additions.1.thing',
      'body.name',
      'body.version',
    ]
    const problem = { fields: paths.map((path) => ({ path, message: path })) } as unknown as Problem
    expect(errorsFrom(problem, { overrides: [hotter] })).toEqual({
      byField: {
        [`rule.${HOT}.laxerConfirmed`]: 'body.overrides.0.laxerConfirmed',
        [`rule.${HOT}.value`]: 'body.overrides.0',
        'addition.1.thing': 'body.additions.1.thing',
        name: 'body.name',
      },
      rest: ['body.overrides.4.value', 'body.version'],
    })
    expect(errorsFrom({} as Problem, { overrides: [] })).toEqual({ byField: {}, rest: [] })
  })
})

describe('the rules to choose from', () => {
  it('are narrowed to a thing, but those that are set already stay', () => {
    expect(rulesAbout(NY, ABOUT_ALL, draft({}))).toHaveLength(allRules(NY).length)
    expect(keysOf(rulesAbout(NY, 'tempC', draft({})))).toEqual(['ny.temperature.max', 'practice.temperature.max'])
    expect(keysOf(rulesAbout(NY, 'tempC', draft({ 'ny.ph.max': typed('7.6') })))).toContain('ny.ph.max')
    expect(rulesAbout(NY, ABOUT_TESTS, draft({})).every(({ sort }) => sort === 'test')).toBe(true)
    expect(keysOf(rulesAbout(NY, 'cyanuricAcidMgL', draft({})))).toContain('ny.cyanuricAcid.forbidden')
  })

  it('can be narrowed only to what the parent has a rule about', () => {
    const values = aboutOptions(NY).map(({ value }) => value)
    expect(values).toEqual(expect.arrayContaining([ABOUT_ALL, ABOUT_TESTS, 'ph', 'tempC']))
    expect(values).not.toContain('saltMgL')
  })

  it('name a limit as finely as it was written', () => {
    expect(ruleLine(anyOf(NY, HOT), 'metric')).toMatchObject({ asked: 'At most 40.0 °C' })
    expect(ruleLine(anyOf(NC, 'nc.ph.max'), 'us').citation).toMatch(/^By the published code: North Carolina/)
    const finer = deriveProfile(NC, { key: 'own', name: 'own' }, [{ ruleKey: 'nc.ph.max', value: 7.75, ...why }])
    expect(ruleLine(anyOf(finer, 'nc.ph.max'), 'us')).toMatchObject({
      asked: 'At most 7.75',
      citation: 'Set by your own company: Larkmead water book 3.',
    })
  })
})

describe('the difference from the parent', () => {
  it('says in the reader’s units what was changed, taken away and added, why and whose', () => {
    const gone: ProfileOverride = { ruleKey: 'practice.alkalinity.max', value: null, ...why }
    const detail = detailOf(NC, [
      { overrides: [{ ruleKey: 'practice.temperature.max', value: 38, ...why }, gone], additions: [SOLIDS] },
    ])
    const rows = prepareDifference(detail, 'us')
    expect(rows.map(({ name, before, after, laxer }) => [name, before, after, laxer])).toEqual([
      ['Total alkalinity, maximum (watch)', 'at most 180 ppm', 'taken away', null],
      ['Water temperature, maximum (a person today)', 'at most 104 °F', 'at most 100.4 °F', null],
      ['Dissolved solids, maximum (a person today)', '', 'at most 2,500 ppm', null],
    ])
    for (const row of rows) expect([row.why, row.whose]).toEqual([why.reason, why.citation])
    expect(prepareDifference(detail, 'metric')[1]?.after).toBe('at most 38.0 °C')
  })

  it('is nothing for a published profile', () => {
    const detail = { ...detailOf(NC, [{}]), parent: null, versions: [] }
    expect([prepareDifference(detail, 'us'), prepareVersions(detail, 'us')]).toEqual([[], []])
  })

  it('names the law and who confirmed that less is meant, since the version in which the value was set', () => {
    const lax = (value: number): ProfileOverride => ({ ruleKey: 'nc.ph.max', value, ...why, laxerConfirmed: true })
    const detail = detailOf(NC, [
      { overrides: [lax(7.9)], person: 'A. Quill' },
      { overrides: [lax(7.9)], person: 'D. Fenn' },
      { overrides: [lax(8)], person: 'Ines Calloway' },
    ])
    expect(prepareDifference(detail, 'us')[0]?.laxer).toMatch(/at most 7\.8 .* Confirmed by D\. Fenn in version 2\.$/)
  })

  it('tells apart what is laxer through the profile in between', () => {
    const between = deriveProfile(NC, { key: 'own-between', name: 'Between' }, [
      { ruleKey: 'nc.ph.max', value: 7.9, ...why, laxerConfirmed: true },
    ])
    const detail = detailOf(between, [{ overrides: [{ ruleKey: 'nc.ph.min', value: 7.3, ...why }] }], NC)
    expect(inheritedLaxer(detail, 'us')).toEqual([expect.stringMatching(/^pH, maximum .*Laxer than the law/)])
    expect(inheritedLaxer(detailOf(NC, [{}]), 'us')).toEqual([])
  })
})

describe('the versions', () => {
  it('each tell the rules that they set, also those that no longer fit', () => {
    const detail = detailOf(NC, [{ overrides: [{ ruleKey: 'nc.ph.max', value: 7.6, ...why }] }, { person: '' }])
    const old = detail.versions[1]
    if (!old) throw new Error('two versions')
    old.overrides = [{ ruleKey: 'nc.no.more', value: 1, ...why }]
    expect(prepareVersions(detail, 'us')).toMatchObject([
      {
        version: 2,
        who: 'Ines Calloway',
        sets: '1 rule of its own',
        rules: ['pH, maximum (closed to bathers): at most 7.6'],
      },
      { version: 1, who: 'nobody named', rules: ['A rule that the parent no longer has (nc.no.more)'] },
    ])
  })
})

describe('a profile in words', () => {
  it('has every rule of it, each with whose it is', () => {
    const model = prepareProfile(NY, 'us')
    expect(model.limits).toHaveLength(NY.limits.length)
    expect(model.tests).toHaveLength(NY.tests.length)
    expect(model.closures).toHaveLength(NY.closures.length)
    expect(model.forbidden).toMatchObject([{ asked: 'not allowed', when: 'all water' }])
    expect(model.limits.find(({ key }) => key === HOT)).toMatchObject({
      key: HOT,
      what: 'Water temperature',
      asked: 'at most 104 °F',
      effect: 'a person today',
      when: 'spas',
      citation: expect.stringMatching(/^By the published code: .*6-1\.25\(b\)/),
      own: false,
    })
  })
})
