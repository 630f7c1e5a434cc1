import { PROFILES } from '@sightglass/chemistry'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { get, makeBody, makeFacility, pathsOf, post, startTestApi, type TestApi, test } from './support/company.ts'

let api: TestApi
beforeAll(async () => {
  api = await startTestApi()
})
afterAll(() => api.stop())

const published = PROFILES[0]
const phMax = published?.limits.find(
  ({ thing, side, effect }) => thing === 'ph' && side === 'max' && effect !== 'watch',
)
const ownOf = (name: string, overrides: object[], parentKey = published?.key) => ({ name, parentKey, overrides })
const stricter = { ruleKey: phMax?.key, value: 7.6, reason: 'plaster', citation: 'Company water book 3' }

describe('code profiles', () => {
  it('list the published ones with the facilities that are judged by each', async () => {
    await makeFacility(api)
    await post(api, `/facilities/${(await makeFacility(api)).id}/retire`)
    const { items, total } = (await get(api, '/code-profiles')).body
    expect(total).toBe(PROFILES.length)
    expect(items.map(({ key }: { key: string }) => key)).toEqual(PROFILES.map(({ key }) => key))
    expect(items[0]).toMatchObject({ parentKey: null, facilities: 1 })
  })

  it('show each with all its rules and citations', async () => {
    for (const profile of PROFILES) {
      const { status, body } = await get(api, `/code-profiles/${profile.key}`)
      expect(status).toBe(200)
      expect(body).toEqual({ profile: JSON.parse(JSON.stringify(profile)), overrides: [] })
    }
    expect((await get(api, '/code-profiles/nowhere')).status).toBe(404)
  })
})

describe('the company’s own', () => {
  it('takes its parent’s rules but its own values, and judges by them', async () => {
    const made = await post(api, '/code-profiles', ownOf('Larkmead, stricter!', [stricter]))
    expect(made.status).toBe(201)
    expect(made.body.profile).toMatchObject({ key: 'own-larkmead-stricter', parentKey: published?.key })
    const rule = made.body.profile.limits.find(({ key }: { key: string }) => key === phMax?.key)
    expect(rule).toMatchObject({ value: 7.6, citation: { authority: 'company', document: 'Company water book 3' } })
    expect((await get(api, '/code-profiles/own-larkmead-stricter')).body).toEqual(made.body)

    const kindsUnder = async (profileKey: string | undefined) => {
      const { id } = await makeBody(api, (await makeFacility(api, { profileKey })).id)
      await test(api, id, { values: { ph: 7.7 } })
      return (await get(api, `/bodies/${id}`)).body.findings.map(({ kind }: { kind: string }) => kind)
    }
    expect(await kindsUnder('own-larkmead-stricter')).toContain('phHigh')
    expect(await kindsUnder(published?.key)).not.toContain('phHigh')
    expect((await get(api, '/code-profiles')).body.items.at(-1)).toMatchObject({
      name: 'Larkmead, stricter!',
      facilities: 1,
    })
  })

  it('can be derived from another own one, and take a rule away', async () => {
    await post(api, '/code-profiles', ownOf('First', [stricter]))
    const second = await post(api, '/code-profiles', ownOf('Second', [{ ...stricter, value: null }], 'own-first'))
    expect(second.status).toBe(201)
    expect(second.body.profile.limits.some(({ key }: { key: string }) => key === phMax?.key)).toBe(false)
    expect(second.body.profile.parentKey).toBe('own-first')
  })

  it.each([
    [
      'a rule that the parent does not have',
      ownOf('A', [stricter, { ...stricter, ruleKey: 'noSuchRule' }]),
      ['body.overrides.1.ruleKey'],
    ],
    ['a value that the rule cannot take', ownOf('B', [{ ...stricter, value: 15 }]), ['body.overrides.0.value']],
    ['the same rule twice', ownOf('C', [stricter, stricter]), ['body.overrides.1.ruleKey']],
    ['an unknown parent', ownOf('D', [stricter], 'moon-code'), ['body.parentKey']],
    ['no reason', ownOf('E', [{ ...stricter, reason: '' }]), ['body.overrides.0.reason']],
    ['nobody’s limit', ownOf('F', [{ ...stricter, citation: ' ' }]), ['body.overrides.0.citation']],
    ['nothing of its own', ownOf('G', []), ['body.overrides']],
    ['no name', ownOf(' ', [stricter]), ['body.name']],
  ])('refused: %s', async (_what, payload, paths) => {
    const answer = await post(api, '/code-profiles', payload)
    expect([answer.status, pathsOf(answer)]).toEqual([400, paths])
    const { items } = (await get(api, '/code-profiles')).body
    expect(items.map(({ name }: { name: string }) => name)).not.toContain(payload.name)
  })

  it('refused: a name that is taken, whatever its case, by an own or a published one', async () => {
    await post(api, '/code-profiles', ownOf('Taken', [stricter]))
    for (const name of ['TAKEN', 'taken!', published?.name ?? '']) {
      const answer = await post(api, '/code-profiles', ownOf(name, [stricter]))
      expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.name']])
    }
  })
})
