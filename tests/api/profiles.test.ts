import { PROFILES } from '@sightglass/chemistry'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import {
  type Answer,
  get,
  goodTest,
  hoursBefore,
  made,
  makeBody,
  makeFacility,
  patch,
  pathsOf,
  post,
  startTestApi,
  type TestApi,
  test,
} from './support/company.ts'

let api: TestApi
beforeAll(async () => {
  api = await startTestApi()
})
afterAll(() => api.stop())

const published = PROFILES[0]
if (!published) throw new Error('no published profile')
const PH_MAX = 'practice.ph.max'
const stricter = { ruleKey: PH_MAX, value: 7.6, reason: 'plaster', citation: 'Company water book 3' }
const alkalinity = {
  thing: 'totalAlkalinityMgL',
  side: 'max',
  effect: 'act',
  value: 150,
  when: {},
  reason: 'scale on the heaters',
  citation: 'Company water book 4',
}
const laxer = { ruleKey: 'nc.ph.max', value: 7.9, reason: 'variance', citation: 'County order 12' }
const ownOf = (name: string, given: object = {}) => ({
  name,
  parentKey: published.key,
  person: 'Ines Calloway',
  overrides: [stricter],
  ...given,
})
let count = 0
const anyName = (words: string) => `${words} ${++count}`
interface Detail {
  profile: { key: string; name: string; limits: { key: string; value: number }[]; tests: { key: string }[] }
  versions: { version: number; overrides: { ruleKey: string; laxerConfirmed?: boolean }[]; person: string }[]
}
const own = (given: object = {}, words = 'House rules') =>
  made<Detail>(api, '/code-profiles', ownOf(anyName(words), given))
const versionOf = ({ profile, versions }: Detail, given: object = {}) => ({
  name: profile.name,
  version: versions[0]?.version,
  person: 'D. Fenn',
  reason: 'new water plan',
  overrides: [stricter],
  ...given,
})
const edit = ({ profile }: Pick<Detail, 'profile'>, payload: object) =>
  post(api, `/code-profiles/${profile.key}/versions`, payload)
const retire = (key: string, given: object = { person: 'D. Fenn', reason: 'not needed' }) =>
  post(api, `/code-profiles/${key}/retire`, given)

const kindsOf = async (bodyId: string) =>
  (await get(api, `/bodies/${bodyId}`)).body.findings
    .filter(({ closedAt }: { closedAt: string | null }) => closedAt === null)
    .map(({ kind }: { kind: string }) => kind)
const poolUnder = async (profileKey: string, values: object, given: object = {}) => {
  const facility = await makeFacility(api, { profileKey })
  const body = await makeBody(api, facility.id, given)
  await test(api, body.id, { values })
  return { facility, body }
}

describe('code profiles', () => {
  it('list the published ones with the facilities that are judged by each, and what was not read of each', async () => {
    await makeFacility(api)
    await post(api, `/facilities/${(await makeFacility(api)).id}/retire`)
    const { items, total } = (await get(api, '/code-profiles')).body
    expect(total).toBe(PROFILES.length)
    expect(items.map(({ key }: { key: string }) => key)).toEqual(PROFILES.map(({ key }) => key))
    expect(items[0]).toMatchObject({ parentKey: null, facilities: 1, notRead: published.notRead })
  })

  it('show each with all its rules, closures and citations', async () => {
    for (const profile of PROFILES) {
      const { status, body } = await get(api, `/code-profiles/${profile.key}`)
      expect(status).toBe(200)
      expect(body).toMatchObject({ parent: null, root: null, versions: [], lost: [], retiredAt: null })
      expect(body.profile).toEqual(JSON.parse(JSON.stringify(profile)))
    }
    expect((await get(api, '/code-profiles/nowhere')).status).toBe(404)
  })
})

describe('a limit that counts once it has lasted', () => {
  it('closes by the vials of the last days, and a corrected vial no longer counts', async () => {
    const facility = await makeFacility(api, { profileKey: 'ca-qc' })
    const { id } = await makeBody(api, facility.id)
    const vial = (hours: number) =>
      test(api, id, {
        at: hoursBefore(api, hours).toISOString(),
        values: { freeChlorineMgL: 1.5, totalChlorineMgL: 2.7 },
      })
    const severity = async () =>
      (await get(api, `/bodies/${id}`)).body.findings.find(
        ({ kind, closedAt }: { kind: string; closedAt: string | null }) => kind === 'combinedChlorineHigh' && !closedAt,
      )?.severity
    await vial(1)
    expect(await severity()).toBe('act')
    const { readings } = await vial(26)
    expect(await severity()).toBe('close')
    const { bodyId: _, ...correction } = goodTest(api, id, {
      at: hoursBefore(api, 26).toISOString(),
      values: { freeChlorineMgL: 1.5, totalChlorineMgL: 1.7 },
    })
    const corrected = await post(api, `/bodies/${id}/readings/${readings[0]?.id}/correct`, {
      ...correction,
      reason: 'swapped',
    })
    expect(corrected.status).toBe(201)
    expect(await severity()).toBe('act')
  })
})

describe('the company’s own', () => {
  it('takes its parent’s rules but its own values, and judges by them', async () => {
    const made = await post(api, '/code-profiles', ownOf('Larkmead, stricter!'))
    expect(made.status).toBe(201)
    expect(made.body.profile).toMatchObject({ key: 'own-larkmead-stricter', parentKey: published.key })
    const rule = made.body.profile.limits.find(({ key }: { key: string }) => key === PH_MAX)
    expect(rule).toMatchObject({ value: 7.6, citation: { authority: 'company', document: 'Company water book 3' } })
    expect(made.body.parent.key).toBe(published.key)
    expect(made.body.root.key).toBe(published.key)
    expect(made.body.versions).toEqual([
      {
        version: 1,
        name: 'Larkmead, stricter!',
        overrides: [stricter],
        additions: [],
        person: 'Ines Calloway',
        reason: 'First version',
        at: '2026-11-25T06:00:00.000Z',
      },
    ])
    expect((await get(api, '/code-profiles/own-larkmead-stricter')).body).toEqual(made.body)

    const ours = await poolUnder('own-larkmead-stricter', { ph: 7.7 })
    const theirs = await poolUnder(published.key, { ph: 7.7 })
    expect(await kindsOf(ours.body.id)).toContain('phHigh')
    expect(await kindsOf(theirs.body.id)).not.toContain('phHigh')
    expect((await get(api, '/code-profiles')).body.items.at(-1)).toMatchObject({
      name: 'Larkmead, stricter!',
      facilities: 1,
    })
  })

  it('adds a limit where its parent has none, and judges by it', async () => {
    const { profile } = await own({ overrides: [], additions: [alkalinity] })
    expect(profile.limits[0]).toMatchObject({ key: 'own.totalAlkalinityMgL.max.act', value: 150, unit: 'mg/L' })
    const { body } = await poolUnder(profile.key, { totalAlkalinityMgL: 160 })
    expect(await kindsOf(body.id)).toContain('alkalinityHigh')
  })

  it('can be derived from another own one, and take a rule away', async () => {
    const first = await own()
    const second = await own({ overrides: [{ ...stricter, value: null }], parentKey: first.profile.key })
    expect(second.profile.limits.some(({ key }) => key === PH_MAX)).toBe(false)
    const { body } = await get(api, `/code-profiles/${second.profile.key}`)
    expect([body.parent.key, body.root.key]).toEqual([first.profile.key, published.key])
    expect((await get(api, `/code-profiles/${first.profile.key}`)).body.usedBy.profiles).toEqual([
      { key: second.profile.key, name: second.profile.name },
    ])
  })

  it.each([
    [
      'a rule that the parent does not have',
      { overrides: [stricter, { ...stricter, ruleKey: 'noSuchRule' }] },
      ['body.overrides.1.ruleKey'],
    ],
    [
      'a closure that has no number',
      { overrides: [{ ...stricter, ruleKey: 'mahc.closure.treatmentStopped', value: null }] },
      ['body.overrides.0.ruleKey'],
    ],
    ['a value that the rule cannot take', { overrides: [{ ...stricter, value: 15 }] }, ['body.overrides.0.value']],
    ['the same rule twice', { overrides: [stricter, stricter] }, ['body.overrides.1.ruleKey']],
    ['an unknown parent', { parentKey: 'moon-code' }, ['body.parentKey']],
    ['no reason', { overrides: [{ ...stricter, reason: '' }] }, ['body.overrides.0.reason']],
    ['nobody’s limit', { overrides: [{ ...stricter, citation: ' ' }] }, ['body.overrides.0.citation']],
    ['nothing of its own', { overrides: [] }, ['body.overrides']],
    ['no name', { name: ' ' }, ['body.name']],
    ['nobody who made it', { person: '' }, ['body.person']],
    [
      'an addition where the parent has a limit',
      { additions: [{ ...alkalinity, effect: 'watch' }] },
      ['body.additions.0.thing'],
    ],
    [
      'an addition that is there twice',
      { additions: [alkalinity, { ...alkalinity, when: { useClass: ['spa'] } }] },
      ['body.additions.1.thing'],
    ],
    ['an addition that cannot be', { additions: [{ ...alkalinity, value: -5 }] }, ['body.additions.0.value']],
    [
      'an addition of something unknown',
      { additions: [{ ...alkalinity, thing: 'turbidityNtu' }] },
      ['body.additions.0.thing'],
    ],
    [
      'an addition for no water at all',
      { additions: [{ ...alkalinity, when: { useClass: [] } }] },
      ['body.additions.0.when.useClass'],
    ],
    ['an addition without a reason', { additions: [{ ...alkalinity, reason: '' }] }, ['body.additions.0.reason']],
  ])('refused: %s', async (_what, given, paths) => {
    const payload = ownOf(anyName('Refused'), given)
    const answer = await post(api, '/code-profiles', payload)
    expect([answer.status, pathsOf(answer)]).toEqual([400, paths])
    const { items } = (await get(api, '/code-profiles')).body
    expect(items.map(({ name }: { name: string }) => name)).not.toContain(payload.name)
  })

  it('refused: a name that is taken, whatever its case, by an own or a published one', async () => {
    await post(api, '/code-profiles', ownOf('Taken'))
    for (const name of ['TAKEN', 'taken!', published.name]) {
      const answer = await post(api, '/code-profiles', ownOf(name))
      expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.name']])
    }
  })

  it('has a key of its own even where its name has no Latin letter', async () => {
    const keys = [await post(api, '/code-profiles', ownOf('池')), await post(api, '/code-profiles', ownOf('池水'))].map(
      ({ body }) => body.profile.key,
    )
    expect(keys).toEqual(['own-profile', 'own-profile-2'])
  })
})

describe('less than the law asks for', () => {
  const given = (overrides: object[], extra: object = {}) => ({ parentKey: 'us-nc', overrides, ...extra })

  it('is refused until somebody confirms it, and says which law', async () => {
    const payload = ownOf(anyName('Lax'), given([stricterNc, laxer]))
    const answer = await post(api, '/code-profiles', payload)
    expect([answer.status, pathsOf(answer)]).toEqual([422, ['body.overrides.1.laxerConfirmed']])
    expect(answer.body.type).toBe('/problems/unusual')
    expect(answer.body.detail).toMatch(/pH, maximum.*at most 7\.8.*North Carolina.*Local law prevails/)
  })
  const stricterNc = { ruleKey: 'nc.ph.min', value: 7.3, reason: 'plaster', citation: 'Company water book 3' }

  it('is stored with the confirmation', async () => {
    const made = await own(given([{ ...laxer, laxerConfirmed: true }]))
    expect(made.versions[0]?.overrides).toEqual([{ ...laxer, laxerConfirmed: true }])
  })

  it.each([
    ['a rule of law taken away', [{ ...laxer, value: null }], 422],
    ['a stricter value', [{ ...laxer, value: 7.7 }], 201],
    ['the same value', [{ ...laxer, value: 7.8 }], 201],
    ['rarer tests of practice', [{ ...laxer, ruleKey: 'practice.test.chlorine', value: 48 }], 201],
  ])('%s: %#', async (_what, overrides, status) => {
    expect((await post(api, '/code-profiles', ownOf(anyName('Lax'), given(overrides)))).status).toBe(status)
  })

  it('is measured at the law through a profile in between', async () => {
    const strict = await own(given([{ ...laxer, value: 7.6 }]))
    const over = ownOf(anyName('Over'), given([laxer], { parentKey: strict.profile.key }))
    expect((await post(api, '/code-profiles', over)).status).toBe(422)
  })

  it('is asked about anew when a version makes it laxer still', async () => {
    const made = await own(given([{ ...laxer, value: 7.7 }]))
    const answer = await edit(made, versionOf(made, { overrides: [laxer] }))
    expect([answer.status, pathsOf(answer)]).toEqual([422, ['body.overrides.0.laxerConfirmed']])
  })
})

describe('a new version', () => {
  it('takes the place of the old one, which is kept with who, when and why, and its bodies are judged anew', async () => {
    const first = await own()
    const { body } = await poolUnder(first.profile.key, { ph: 7.7, totalAlkalinityMgL: 160, calciumHardnessMgL: 180 })
    expect(await kindsOf(body.id)).toEqual(['phHigh'])

    const answer = await edit(
      first,
      versionOf(first, { name: anyName('Renamed'), overrides: [], additions: [alkalinity] }),
    )
    expect(answer.status).toBe(201)
    expect(answer.body.versions).toMatchObject([
      { version: 2, person: 'D. Fenn', reason: 'new water plan', overrides: [], additions: [alkalinity] },
      { version: 1, person: 'Ines Calloway', overrides: [stricter] },
    ])
    expect(answer.body.profile.key).toBe(first.profile.key)
    expect(await kindsOf(body.id)).toEqual(['alkalinityHigh'])
    expect((await get(api, '/code-profiles')).body.items.map(({ name }: { name: string }) => name)).toContain(
      answer.body.profile.name,
    )
  })

  it('reaches the bodies of the profiles derived from it', async () => {
    const first = await own()
    const second = await own({
      parentKey: first.profile.key,
      overrides: [{ ...stricter, ruleKey: 'practice.alkalinity.max', value: 170 }],
    })
    const { body } = await poolUnder(second.profile.key, { ph: 7.7 })
    expect(await kindsOf(body.id)).toEqual(['phHigh'])
    await edit(first, versionOf(first, { overrides: [{ ...stricter, value: 7.75 }] }))
    expect(await kindsOf(body.id)).toEqual([])
  })

  it.each([
    ['without a reason', { reason: ' ' }, 400, ['body.reason']],
    ['by nobody', { person: '' }, 400, ['body.person']],
    ['of an older version', { version: 0 }, 400, ['body.version']],
    ['of a version that is not there yet', { version: 7 }, 409, ['body.version']],
    ['with nothing of its own', { overrides: [] }, 400, ['body.overrides']],
    ['with an impossible value', { overrides: [{ ...stricter, value: -1 }] }, 400, ['body.overrides.0.value']],
    ['under a published name', { name: published.name }, 409, ['body.name']],
  ])('is refused %s', async (_what, given, status, paths) => {
    const first = await own()
    const answer = await edit(first, versionOf(first, given))
    expect([answer.status, pathsOf(answer)]).toEqual([status, paths])
    expect((await get(api, `/code-profiles/${first.profile.key}`)).body.versions).toHaveLength(1)
  })

  it('is refused when somebody stored one meanwhile: of two at once one goes through', async () => {
    const first = await own()
    const answers = await Promise.all([
      edit(first, versionOf(first, { reason: 'mine' })),
      edit(first, versionOf(first, { reason: 'yours' })),
    ])
    expect(answers.map(({ status }) => status).sort()).toEqual([201, 409])
    const refused = answers.find(({ status }) => status === 409) as Answer
    expect(refused.body.detail).toContain('version 2')
  })

  it('is refused where a profile derived from it would lose a rule that it changes', async () => {
    const first = await own({ additions: [alkalinity] })
    const second = await own({
      parentKey: first.profile.key,
      overrides: [{ ...stricter, ruleKey: 'own.totalAlkalinityMgL.max.act', value: 140 }],
    })
    const answer = await edit(first, versionOf(first, { additions: [] }))
    expect(answer.status).toBe(409)
    expect(answer.body.detail).toContain(second.profile.name)
  })

  it('is refused for a published profile and for one that there is not', async () => {
    expect((await edit({ profile: { key: published.key } } as Detail, versionOf(await own()))).status).toBe(409)
    expect((await edit({ profile: { key: 'own-nowhere' } } as Detail, versionOf(await own()))).status).toBe(404)
  })

  it('stands although a rule that it rests on has gone with a newer edition of the code', async () => {
    const { profile } = await own()
    await api.db.pool.query(
      `UPDATE code_profile_version SET overrides = overrides || '[{"ruleKey":"mahc.gone","value":1,"reason":"r","citation":"c"}]',
        additions = $2 WHERE profile_key = $1`,
      [profile.key, JSON.stringify([{ ...alkalinity, effect: 'watch' }])],
    )
    const { status, body } = await get(api, `/code-profiles/${profile.key}`)
    expect([status, body.lost]).toEqual([200, ['mahc.gone', 'own.totalAlkalinityMgL.max.watch']])
    expect(body.profile.limits.find(({ key }: { key: string }) => key === PH_MAX).value).toBe(7.6)
    const pool = await poolUnder(profile.key, { ph: 7.7 })
    expect(await kindsOf(pool.body.id)).toContain('phHigh')
  })
})

describe('retiring', () => {
  it('is refused while a facility or another profile rests on it, and names them', async () => {
    const first = await own()
    const facility = await makeFacility(api, { profileKey: first.profile.key })
    const second = await own({ parentKey: first.profile.key })
    const answer = await retire(first.profile.key)
    expect(answer.status).toBe(409)
    expect(answer.body.detail).toContain(facility.name)
    expect(answer.body.detail).toContain(second.profile.name)
    expect((await get(api, `/code-profiles/${first.profile.key}`)).body.usedBy.facilities).toEqual([
      { id: facility.id, name: facility.name },
    ])

    await patch(api, `/facilities/${facility.id}`, { profileKey: published.key })
    expect((await retire(second.profile.key)).status).toBe(200)
    expect((await retire(first.profile.key)).status).toBe(200)
  })

  it('takes it out of the lists and of what can be chosen; its page and versions stay, and its name is free', async () => {
    const { profile } = await own()
    const answer = await retire(profile.key)
    expect([answer.status, answer.body.retiredAt]).toEqual([200, '2026-11-25T06:00:00.000Z'])
    expect((await retire(profile.key)).status).toBe(200)
    const keys = (await get(api, '/code-profiles')).body.items.map(({ key }: { key: string }) => key)
    expect(keys).not.toContain(profile.key)
    expect((await get(api, `/code-profiles/${profile.key}`)).body.versions).toHaveLength(1)

    const chosen = await post(api, '/facilities', { name: 'Late', timeZone: 'UTC', profileKey: profile.key })
    expect([chosen.status, pathsOf(chosen)]).toEqual([400, ['body.profileKey']])
    expect(chosen.body.detail).toContain('is retired')
    const derived = await post(api, '/code-profiles', ownOf(anyName('Late'), { parentKey: profile.key }))
    expect([derived.status, pathsOf(derived)]).toEqual([400, ['body.parentKey']])
    expect((await edit({ profile }, versionOf(answer.body))).status).toBe(409)

    const again = await post(api, '/code-profiles', ownOf(profile.name))
    expect([again.status, again.body.profile.key]).toEqual([201, `${profile.key}-2`])
  })

  it('keeps judging a facility that went with it', async () => {
    const { profile } = await own()
    const { facility, body } = await poolUnder(profile.key, { ph: 7.7 })
    await post(api, `/facilities/${facility.id}/retire`)
    expect((await retire(profile.key)).status).toBe(200)
    expect((await get(api, `/bodies/${body.id}`)).status).toBe(200)
  })

  it.each([
    ['a published one', () => published.key, {}, 409],
    ['one that there is not', () => 'own-nowhere', {}, 404],
    ['without a reason', () => 'own-nowhere', { reason: '' }, 400],
    ['by nobody', () => 'own-nowhere', { person: '' }, 400],
  ])('is refused for %s', async (_what, key, given, status) => {
    expect((await retire(key(), { person: 'D. Fenn', reason: 'not needed', ...given })).status).toBe(status)
  })
})

describe('a look at what a change would do', () => {
  const preview = (payload: object) => post(api, '/code-profiles/preview', payload)

  it('counts and names the bodies whose standing would change, and stores nothing', async () => {
    const first = await own()
    const off = await poolUnder(first.profile.key, { ph: 7.7 })
    await poolUnder(first.profile.key, { ph: 7.4 })
    const answer = await preview({ profileKey: first.profile.key, overrides: [{ ...stricter, value: 7.75 }] })
    expect(answer.status).toBe(200)
    expect(answer.body).toEqual({
      bodies: 2,
      judged: 2,
      changedTotal: 1,
      changed: [
        { bodyId: off.body.id, body: off.body.name, facility: off.facility.name, before: 'act', after: 'fine' },
      ],
    })
    expect((await get(api, `/code-profiles/${first.profile.key}`)).body.versions).toHaveLength(1)
    expect(await kindsOf(off.body.id)).toEqual(['phHigh'])
  })

  it('looks at the bodies of a new profile’s parent, and at those of profiles derived from it', async () => {
    const first = await own({ overrides: [{ ...stricter, ruleKey: 'practice.orp.max', value: 880 }] })
    const second = await own({
      parentKey: first.profile.key,
      overrides: [{ ...stricter, ruleKey: 'practice.orp.max', value: 870 }],
    })
    await poolUnder(first.profile.key, { ph: 7.7 })
    await poolUnder(second.profile.key, { ph: 7.7 })
    const asNew = await preview({ parentKey: first.profile.key, overrides: [stricter] })
    expect(asNew.body).toMatchObject({ bodies: 1, changedTotal: 1 })
    const asEdit = await preview({ profileKey: first.profile.key, overrides: [stricter] })
    expect(asEdit.body).toMatchObject({ bodies: 2, changedTotal: 2 })
  })

  it.each([
    ['neither profile nor parent', { overrides: [stricter] }, 400, ['body.profileKey']],
    ['both', { profileKey: 'a', parentKey: 'b', overrides: [stricter] }, 400, ['body.profileKey']],
    ['an unknown parent', { parentKey: 'moon-code', overrides: [stricter] }, 400, ['body.parentKey']],
    ['an unknown profile', { profileKey: 'own-nowhere', overrides: [stricter] }, 404, []],
    ['a published one as if it could be changed', { profileKey: 'us-ca', overrides: [stricter] }, 409, []],
    [
      'an impossible value',
      { parentKey: 'us-ca', overrides: [{ ...stricter, value: 15 }] },
      400,
      ['body.overrides.0.value'],
    ],
  ])('is refused: %s', async (_what, payload, status, paths) => {
    const answer = await preview(payload)
    expect([answer.status, pathsOf(answer)]).toEqual([status, paths])
  })
})
