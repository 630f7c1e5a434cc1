import { SEVERITIES, type Severity, severityRank } from '@sightglass/chemistry'
import { TRIAGE_SORTS, type TriageAnswer, type TriageRow, triageAnswer } from '@sightglass/contract'
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { get, makeBody, makeFacility, pathsOf, post, startTestApi, type TestApi, test } from './support/company.ts'

let api: TestApi
beforeAll(async () => {
  api = await startTestApi()
  await makeCompany()
})
afterAll(() => api.stop())

const list = async (query: object = {}): Promise<TriageAnswer> => {
  const answer = await get(api, `/triage?${new URLSearchParams(query as Record<string, string>)}`)
  expect(answer.status).toBe(200)
  return triageAnswer.parse(answer.body)
}
const names = ({ rows }: TriageAnswer) => rows.map(({ bodyName }) => bodyName)

interface Listed {
  facility: string
  area: string
  body: string
  system?: string
  severity: Severity
  score: number | null
  kinds: string[]
  daysLeft?: number | null
  heardAt?: string | null
}
// standings are set by hand here: what the list shows must follow from them alone
const COMPANY: Listed[] = [
  {
    facility: 'Aster House',
    area: 'North',
    body: 'Atrium pool',
    severity: 'watch',
    score: 82,
    kinds: ['phHigh'],
    daysLeft: 3,
  },
  {
    facility: 'Aster House',
    area: 'North',
    body: 'Brine pool',
    system: 'saltGenerator',
    severity: 'act',
    score: 55,
    kinds: ['phHigh', 'drumLow'],
    daysLeft: 0.5,
    heardAt: '2026-11-25T05:00:00Z',
  },
  {
    facility: 'Birch 50% Gym',
    area: 'South',
    body: 'Cold plunge',
    severity: 'close',
    score: 10,
    kinds: ['freeChlorineLow'],
    heardAt: '2026-11-25T04:00:00Z',
  },
  {
    facility: 'Birch 50% Gym',
    area: 'South',
    body: 'Dive pool',
    severity: 'fine',
    score: 100,
    kinds: [],
    daysLeft: 20,
    heardAt: '2026-11-25T05:30:00Z',
  },
  {
    facility: 'Cedar 500 Club',
    area: 'south',
    body: 'Eddy spa',
    system: 'bromine',
    severity: 'unheard',
    score: null,
    kinds: ['controllerSilent'],
  },
  {
    facility: 'Cedar 500 Club',
    area: 'south',
    body: 'Fountain',
    severity: 'act',
    score: 70,
    kinds: ['drumLow'],
    daysLeft: 1,
    heardAt: '2026-11-24T05:00:00Z',
  },
]

async function makeCompany() {
  const facilities = new Map<string, string>()
  for (const one of COMPANY) {
    const facilityId =
      facilities.get(one.facility) ?? (await makeFacility(api, { name: one.facility, area: one.area })).id
    facilities.set(one.facility, facilityId)
    const { id } = await makeBody(api, facilityId, { name: one.body, sanitizerSystem: one.system ?? 'hypochlorite' })
    await api.db.pool.query(
      `UPDATE standing SET severity = $2, severity_rank = $3, score = $4, kinds = $5, days_left = $6, heard_at = $7
      WHERE body_id = $1`,
      [id, one.severity, severityRank(one.severity), one.score, one.kinds, one.daysLeft ?? null, one.heardAt ?? null],
    )
  }
}

describe('the order', () => {
  it.each([
    ['worst', ['Cold plunge', 'Brine pool', 'Fountain', 'Eddy spa', 'Atrium pool', 'Dive pool']],
    ['facility', ['Atrium pool', 'Brine pool', 'Cold plunge', 'Dive pool', 'Eddy spa', 'Fountain']],
    ['score', ['Eddy spa', 'Cold plunge', 'Brine pool', 'Fountain', 'Atrium pool', 'Dive pool']],
    ['daysLeft', ['Brine pool', 'Fountain', 'Atrium pool', 'Dive pool', 'Cold plunge', 'Eddy spa']],
    ['heard', ['Eddy spa', 'Atrium pool', 'Fountain', 'Cold plunge', 'Brine pool', 'Dive pool']],
  ])('by %s', async (sort, expected) => {
    expect(TRIAGE_SORTS).toContain(sort)
    expect(names(await list({ sort }))).toEqual(expected)
  })

  it('is worst first when nothing is asked for: unheard stands before watch and fine', async () => {
    expect(await list()).toEqual(await list({ sort: 'worst' }))
  })

  it('keeps facilities together, the one with the worst body first', async () => {
    expect(names(await list({ byFacility: 'true' }))).toEqual([
      'Cold plunge',
      'Dive pool',
      'Brine pool',
      'Atrium pool',
      'Fountain',
      'Eddy spa',
    ])
  })

  it('is the same in pages as in one', async () => {
    for (const byFacility of ['true', 'false']) {
      const whole = names(await list({ byFacility }))
      const pages = await Promise.all([0, 2, 4].map((offset) => list({ byFacility, offset, limit: 2 })))
      expect(pages.flatMap(names)).toEqual(whole)
      expect(pages.map(({ total }) => total)).toEqual([6, 6, 6])
    }
    expect(await list({ offset: 100 })).toMatchObject({ rows: [], total: 6 })
  })
})

describe('filters', () => {
  it.each([
    [{ severity: 'close,unheard' }, ['Cold plunge', 'Eddy spa']],
    [{ kind: 'phHigh' }, ['Brine pool', 'Atrium pool']],
    [{ kind: 'phHigh,controllerSilent' }, ['Brine pool', 'Eddy spa', 'Atrium pool']],
    [{ area: 'South' }, ['Cold plunge', 'Dive pool']],
    [{ sanitizerSystem: 'bromine,saltGenerator' }, ['Brine pool', 'Eddy spa']],
    [{ severity: 'act', kind: 'drumLow', area: 'North' }, ['Brine pool']],
    [{ severity: 'fine', kind: 'drumLow' }, []],
    [{ severity: '', kind: '' }, ['Cold plunge', 'Brine pool', 'Fountain', 'Eddy spa', 'Atrium pool', 'Dive pool']],
  ])('%j', async (query, expected) => {
    const answer = await list(query)
    expect(names(answer)).toEqual(expected)
    expect(answer.total).toBe(answer.rows.length)
  })

  it.each([
    ['birch', ['Cold plunge', 'Dive pool']],
    ['POOL', ['Brine pool', 'Atrium pool', 'Dive pool']],
    ['north', ['Brine pool', 'Atrium pool']],
    ['50%', ['Cold plunge', 'Dive pool']],
    ['%', ['Cold plunge', 'Dive pool']],
    ['_', []],
    ['\\', []],
    ["'; DROP TABLE standing; --", []],
    ['  eddy ', ['Eddy spa']],
  ])('search for %s', async (q, expected) => {
    expect(names(await list({ q }))).toEqual(expected)
  })

  it('one facility, and one that does not exist', async () => {
    const [row] = (await list()).rows
    expect(names(await list({ facilityId: row?.facilityId ?? '' }))).toEqual(['Cold plunge', 'Dive pool'])
    expect(await list({ facilityId: uuidv7() })).toMatchObject({ rows: [], total: 0 })
  })

  it('several words as several parameters', async () => {
    const { body } = await get(api, '/triage?area=North&area=South')
    expect(body.total).toBe(4)
  })

  it.each([
    ['severity=awful', 'querystring.severity.0'],
    ['kind=ghost', 'querystring.kind.0'],
    ['sort=colour', 'querystring.sort'],
    ['limit=0', 'querystring.limit'],
    ['limit=501', 'querystring.limit'],
    ['offset=-1', 'querystring.offset'],
    ['facilityId=7', 'querystring.facilityId'],
    [`q=${'x'.repeat(101)}`, 'querystring.q'],
    ['byFacility=maybe', 'querystring.byFacility'],
  ])('refused: %s', async (query, path) => {
    const answer = await get(api, `/triage?${query}`)
    expect([answer.status, pathsOf(answer)]).toEqual([400, [path]])
  })
})

describe('counts and choices', () => {
  it('count every severity, also those that nobody has, and never leave one out', async () => {
    const { counts } = await list()
    expect(Object.keys(counts).sort()).toEqual([...SEVERITIES].sort())
    expect(counts).toEqual({ close: 1, act: 2, unheard: 1, watch: 1, fine: 1, outOfUse: 0 })
    const none = { close: 0, act: 0, unheard: 0, watch: 0, fine: 0, outOfUse: 0 }
    expect((await list({ q: 'nothing like this' })).counts).toEqual(none)
  })

  it('stand under the other filters, not under their own', async () => {
    const answer = await list({ severity: 'act', area: 'North,South' })
    expect(answer.counts).toEqual({ close: 1, act: 1, unheard: 0, watch: 1, fine: 1, outOfUse: 0 })
    expect(answer.choices.areas).toEqual([
      { area: 'North', bodies: 1 },
      { area: 'south', bodies: 1 },
    ])
    expect(answer.choices.kinds).toEqual([
      { kind: 'drumLow', bodies: 1 },
      { kind: 'phHigh', bodies: 1 },
    ])
    expect(answer.choices.sanitizerSystems).toEqual([{ sanitizerSystem: 'saltGenerator', bodies: 1 }])
  })

  it('say what each choice would leave', async () => {
    const { choices } = await list()
    for (const { kind, bodies } of choices.kinds) expect((await list({ kind })).total).toBe(bodies)
    for (const { area, bodies } of choices.areas) expect((await list({ area })).total).toBe(bodies)
    for (const { sanitizerSystem, bodies } of choices.sanitizerSystems)
      expect((await list({ sanitizerSystem })).total).toBe(bodies)
    expect(choices.kinds.length).toBeGreaterThan(0)
  })
})

describe('rows', () => {
  const rowOf = async (q: string): Promise<TriageRow | undefined> => (await list({ q })).rows[0]

  it('show where the body stands and what it is', async () => {
    expect(await rowOf('Brine')).toMatchObject({
      facilityName: 'Aster House',
      area: 'North',
      timeZone: 'America/Chicago',
      useClass: 'pool',
      setting: 'indoor',
      sanitizerSystem: 'saltGenerator',
      severity: 'act',
      score: 55,
      kinds: ['phHigh', 'drumLow'],
      daysLeft: 0.5,
      heardAt: '2026-11-25T05:00:00+00:00',
    })
  })

  it('show a body that was never assessed as unheard, not fine, and without a view', async () => {
    const { id } = await makeBody(api, (await makeFacility(api, { name: 'Dogwood Court' })).id)
    await api.db.pool.query('DELETE FROM standing WHERE body_id = $1', [id])
    await api.db.pool.query(
      `INSERT INTO standing (body_id, severity, severity_rank, due_at) VALUES ($1, 'unheard', 2, now())`,
      [id],
    )
    expect(await rowOf('Dogwood')).toMatchObject({ severity: 'unheard', score: null, view: null, assessedAt: null })
    await post(api, `/bodies/${id}/retire`)
    expect((await list({ q: 'Dogwood' })).total).toBe(0)
  })

  it('follow a new name at once', async () => {
    const facility = await makeFacility(api, { name: 'Elm Terrace' })
    const { id } = await makeBody(api, facility.id)
    await test(api, id)
    await api.app.inject({ method: 'PATCH', url: `/facilities/${facility.id}`, payload: { name: 'Elder Terrace' } })
    expect((await rowOf('Elder'))?.bodyId).toBe(id)
    await post(api, `/facilities/${facility.id}/retire`)
    expect(await rowOf('Elder')).toBeUndefined()
  })
})
