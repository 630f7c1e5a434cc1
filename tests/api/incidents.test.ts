import type { IncidentDetail, Overview } from '@sightglass/contract'
import pg from 'pg'
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import {
  get,
  goodTest,
  makeBody,
  makeFacility,
  pathsOf,
  post,
  START,
  startTestApi,
  type TestApi,
  test,
} from './support/company.ts'

let api: TestApi
let facilityId: string
beforeAll(async () => {
  api = await startTestApi()
  facilityId = (await makeFacility(api)).id
})
afterAll(() => api.stop())
beforeEach(() => {
  api.clock.now = START
})

const MINUTE = 60_000
const HOUR = 60 * MINUTE
const anotherBody = async (given: object = {}) => (await makeBody(api, facilityId, given)).id
/** So many minutes after the incident, which happened two hours before the clock started. */
const INCIDENT_MS = +START - 2 * HOUR
const at = (minutes: number) => new Date(INCIDENT_MS + minutes * MINUTE).toISOString()
const clockAt = (minutes: number) => {
  api.clock.now = new Date(INCIDENT_MS + minutes * MINUTE)
}

const reportOf = (bodyId: string, given: object = {}) => ({
  id: uuidv7(),
  bodyId,
  kind: 'formedStool',
  at: at(0),
  person: 'Ines Calloway',
  ...given,
})
const report = async (bodyId: string, given: object = {}): Promise<IncidentDetail> => {
  const answer = await post(api, '/incidents', reportOf(bodyId, given))
  if (answer.status !== 201) throw new Error(JSON.stringify(answer.body))
  return answer.body
}
const read = async ({ bodyId, id }: { bodyId: string; id: string }): Promise<IncidentDetail> =>
  (await get(api, `/bodies/${bodyId}/incidents/${id}`)).body
const urlOf = ({ bodyId, id }: { bodyId: string; id: string }, verb: string) =>
  `/bodies/${bodyId}/incidents/${id}/${verb}`
const overviewOf = async (bodyId: string): Promise<Overview> => (await get(api, `/bodies/${bodyId}`)).body

/** Water of an incident: free chlorine held, pH and temperature right, no cyanuric acid. */
const held = (bodyId: string, minutes: number, values: object = {}) =>
  test(api, bodyId, {
    at: at(minutes),
    values: {
      freeChlorineMgL: 2.5,
      totalChlorineMgL: 2.6,
      ph: 7.4,
      tempC: 27,
      cyanuricAcidMgL: 0,
      ...values,
    },
    confirmed: ['freeChlorineMgL', 'totalChlorineMgL', 'ph', 'tempC', 'cyanuricAcidMgL'],
  })
const CHECKS = ['materialRemoved', 'levelEverywhere', 'filterCleaned', 'freeChlorineInRange', 'phInRange']
const closeWith = (incident: { bodyId: string; id: string }, given: object = {}) =>
  post(api, urlOf(incident, 'close'), { at: at(45), person: 'Bram Oduya', checks: CHECKS, ...given })

describe('reporting', () => {
  it('closes the body before it answers, whatever its tests say, and names who and when', async () => {
    const bodyId = await anotherBody()
    await test(api, bodyId)
    expect((await overviewOf(bodyId)).standing?.severity).not.toBe('close')
    const incident = await report(bodyId, { note: ' shallow end ' })
    expect(incident).toMatchObject({
      bodyId,
      kind: 'formedStool',
      at: at(0),
      person: 'Ines Calloway',
      reportedBy: 'Ines Calloway',
      note: 'shallow end',
      instruction: null,
      closing: null,
      facilityId,
      timeZone: 'America/Chicago',
    })
    const { standing, findings } = await overviewOf(bodyId)
    expect(standing?.severity).toBe('close')
    expect(findings[0]).toMatchObject({ kind: 'incidentOpen', subject: incident.id, severity: 'close' })
    const triage = (await get(api, `/triage?kind=incidentOpen&facilityId=${facilityId}`)).body
    expect(triage.rows.map((row: { bodyId: string }) => row.bodyId)).toContain(bodyId)
  })

  it('takes the same again for the same, also at once, and refuses the id for something else', async () => {
    const bodyId = await anotherBody()
    const given = reportOf(bodyId)
    const answers = await Promise.all([1, 2, 3].map(() => post(api, '/incidents', given)))
    expect(answers.map(({ status }) => status)).toEqual([201, 201, 201])
    expect((await get(api, `/incidents?bodyId=${bodyId}`)).body.total).toBe(1)
    const other = await post(api, '/incidents', { ...given, kind: 'vomit' })
    expect([other.status, pathsOf(other)]).toEqual([409, ['body.id']])
  })

  it.each([
    ['no such body', { bodyId: uuidv7() }, 400, 'body.bodyId'],
    ['no kind', { kind: undefined }, 400, 'body.kind'],
    ['an unknown kind', { kind: 'blood' }, 400, 'body.kind'],
    ['nobody', { person: ' ' }, 400, 'body.person'],
    ['no time', { at: 'yesterday' }, 400, 'body.at'],
    ['the future', { at: at(600) }, 400, 'body.at'],
    ['the past century', { at: '1999-12-31T23:59:59Z' }, 400, 'body.at'],
    ['an id that is none', { id: '7' }, 400, 'body.id'],
    [
      'an instruction of nobody',
      { instruction: { freeChlorineMgL: 20, holdMin: 60, phMax: null, by: ' ' } },
      400,
      'body.instruction.by',
    ],
    [
      'an instruction over the pH that is published',
      { instruction: { freeChlorineMgL: 20, holdMin: 60, phMax: 7.8, by: 'County' } },
      400,
      'body.instruction.phMax',
    ],
    [
      'an instruction without a level',
      { instruction: { freeChlorineMgL: 0, holdMin: 60, phMax: null, by: 'County' } },
      400,
      'body.instruction.freeChlorineMgL',
    ],
  ])('refuses %s', async (_what, given, status, path) => {
    const answer = await post(api, '/incidents', { ...reportOf(await anotherBody()), ...given })
    expect([answer.status, pathsOf(answer)]).toEqual([status, [path]])
  })

  it('refuses a retired body; one reported before is still read', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    await post(api, `/bodies/${bodyId}/retire`)
    const answer = await post(api, '/incidents', reportOf(bodyId))
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.bodyId']])
    expect(await read(incident)).toMatchObject({ contact: null, steps: [], closing: null })
    expect((await closeWith(incident)).status).toBe(409)
  })
})

describe('the contact time', () => {
  it('follows the tests that are entered, and the finding with it', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    expect(incident.contact).toMatchObject({ state: 'noProtocol', cyanuricAcidMissing: true, ctMgMinL: 0 })
    expect(incident.steps.find(({ state }) => state === 'now')?.key).toBe('clear')

    await held(bodyId, 5)
    expect((await read(incident)).contact).toMatchObject({ state: 'running', ctMgMinL: 0, share: 0 })
    await held(bodyId, 20)
    expect((await read(incident)).contact).toMatchObject({ state: 'running', ctMgMinL: 30, share: 0.5 })
    const { sentence } = (await overviewOf(bodyId)).findings[0] as Overview['findings'][number]
    expect(sentence).toMatchObject({ quantities: [{ value: 50, unit: '%' }] })
    await held(bodyId, 35)
    const reached = await read(incident)
    expect(reached.contact).toMatchObject({ state: 'reached', share: 1, reachedAtMs: Date.parse(at(35)) })
    expect((await overviewOf(bodyId)).standing?.severity).toBe('close')
    expect(reached.steps.filter(({ state }) => state === 'now').map(({ key }) => key)).toEqual(['filter', 'close'])
  })

  it('counts a corrected test as it was corrected', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    await held(bodyId, 5)
    const { readings } = await held(bodyId, 35)
    expect((await read(incident)).contact?.state).toBe('reached')
    const corrected = {
      ...goodTest(api, bodyId, { at: at(35), values: { freeChlorineMgL: 1.5, totalChlorineMgL: 1.6 } }),
      reason: 'read the wrong line',
    }
    const { bodyId: _, ...version } = corrected
    expect((await post(api, `/bodies/${bodyId}/readings/${readings[0]?.id}/correct`, version)).status).toBe(201)
    expect((await read(incident)).contact).toMatchObject({ state: 'interrupted', ctMgMinL: 0 })
  })

  it('does not count tests made before it, nor those of other water', async () => {
    const [bodyId, other] = [await anotherBody(), await anotherBody()]
    const incident = await report(bodyId)
    await held(bodyId, -10)
    await held(other, 5)
    await held(other, 35)
    expect((await read(incident)).contact).toMatchObject({ state: 'notStarted', readings: [] })
  })

  it('runs by what an authority asked for, once that is entered as a correction', async () => {
    const bodyId = await anotherBody({ cyanuricAcidUsed: true, setting: 'outdoor' })
    const incident = await report(bodyId)
    await held(bodyId, 5, { freeChlorineMgL: 4, totalChlorineMgL: 4.1, cyanuricAcidMgL: 40 })
    await held(bodyId, 65, { freeChlorineMgL: 4, totalChlorineMgL: 4.1 })
    expect((await read(incident)).contact).toMatchObject({ state: 'noProtocol', cyanuricAcidMissing: false })
    const instruction = { freeChlorineMgL: 4, holdMin: 60, phMax: null, by: 'Harbor county health department' }
    const answer = await post(api, urlOf(incident, 'correct'), {
      ...reportOf(bodyId, { instruction }),
      reason: 'the health department called back',
    })
    expect(answer.status).toBe(201)
    expect(answer.body).toMatchObject({ instruction, contact: { state: 'reached', ctMgMinL: 240 } })
  })

  it('is asked for in as many queries for ten open incidents as for one', async () => {
    const facility = (await makeFacility(api)).id
    const bodies = await Promise.all(Array.from({ length: 10 }, () => makeBody(api, facility)))
    for (const { id } of bodies) await report(id)
    const asked = vi.spyOn(pg.Client.prototype, 'query')
    await get(api, `/incidents?bodyId=${bodies[0]?.id}`)
    const one = asked.mock.calls.length
    asked.mockClear()
    expect((await get(api, `/incidents?facilityId=${facility}&open=true`)).body.total).toBe(10)
    expect(asked.mock.calls.length).toBe(one)
    asked.mockRestore()
  })
})

describe('correcting', () => {
  it('keeps the old version, who changed it and why, and the incident keeps its id and its finding', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    const opened = (await overviewOf(bodyId)).findings[0]?.id
    const correction = { ...reportOf(bodyId, { kind: 'diarrhea', person: 'Bram Oduya' }), reason: 'it was loose' }
    const { status, body } = await post(api, urlOf(incident, 'correct'), correction)
    expect(status).toBe(201)
    expect(body).toMatchObject({ id: incident.id, kind: 'diarrhea', person: 'Bram Oduya', reportedBy: 'Ines Calloway' })
    expect(body.versions).toMatchObject([
      { id: correction.id, kind: 'diarrhea', reason: 'it was loose', replacedAt: null },
      { id: incident.id, kind: 'formedStool', reason: null, replacedAt: api.clock.now.toISOString() },
    ])
    const now = (await overviewOf(bodyId)).findings[0]
    expect(now).toMatchObject({ id: opened, kind: 'incidentOpen' })
    expect(now?.sentence.text).toContain('Diarrhea')
  })

  it('is the same when it is sent again, and refused with other content under its id', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    const correction = { ...reportOf(bodyId, { kind: 'vomit' }), reason: 'seen again' }
    await post(api, urlOf(incident, 'correct'), correction)
    const again = await post(api, urlOf(incident, 'correct'), correction)
    expect([again.status, again.body.versions.length]).toEqual([201, 2])
    const other = await post(api, urlOf(incident, 'correct'), { ...correction, reason: 'otherwise' })
    expect([other.status, pathsOf(other)]).toEqual([409, ['body.id']])
  })

  it.each([
    ['why is missing', { reason: ' ' }, 400, ['body.reason']],
    ['the time lies ahead', { at: at(600) }, 400, ['body.at']],
  ])('is refused where %s', async (_what, given, status, paths) => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    const answer = await post(api, urlOf(incident, 'correct'), { ...reportOf(bodyId), reason: 'because', ...given })
    expect([answer.status, pathsOf(answer)]).toEqual([status, paths])
    expect((await read(incident)).versions).toHaveLength(1)
  })

  it('of an incident that is closed is refused: it stays as it was closed', async () => {
    const incident = await reachedIncident()
    expect((await closeWith(incident)).status).toBe(200)
    const answer = await post(api, urlOf(incident, 'correct'), { ...reportOf(incident.bodyId), reason: 'late' })
    expect(answer.status).toBe(409)
    expect(answer.body.detail).toContain('Bram Oduya closed this incident')
  })
})

async function reachedIncident() {
  const bodyId = await anotherBody()
  const incident = await report(bodyId)
  await held(bodyId, 5)
  await held(bodyId, 40, { totalAlkalinityMgL: 90, calciumHardnessMgL: 280 })
  return incident
}

describe('closing', () => {
  it('after the contact time and the checks opens the body, and keeps what was proved', async () => {
    const incident = await reachedIncident()
    const { status, body } = await closeWith(incident, { note: 'filter ran clear' })
    expect(status).toBe(200)
    expect(body.closing).toMatchObject({
      at: at(45),
      person: 'Bram Oduya',
      checks: CHECKS,
      note: 'filter ran clear',
      exception: null,
      contact: { state: 'reached', ctMgMinL: 70 },
    })
    expect(body).toMatchObject({ steps: [], obstacles: [], contact: { state: 'reached' } })
    const { standing, findings, closedFindings } = await overviewOf(incident.bodyId)
    expect(findings.map(({ kind }) => kind)).not.toContain('incidentOpen')
    expect(closedFindings.map(({ kind }) => kind)).toContain('incidentOpen')
    expect(standing?.severity).toBe('fine')
  })

  it('keeps what was proved then, whatever is entered later', async () => {
    const incident = await reachedIncident()
    await closeWith(incident)
    await held(incident.bodyId, 20, { freeChlorineMgL: 0.2, totalChlorineMgL: 0.3 })
    expect((await read(incident)).contact).toMatchObject({ state: 'reached', ctMgMinL: 70 })
    // reported anew, the tests since count, also the bad one
    expect((await report(incident.bodyId)).contact).toMatchObject({ state: 'running', ctMgMinL: 0 })
  })

  it('is the same when it is sent again; otherwise it is closed already', async () => {
    const incident = await reachedIncident()
    await closeWith(incident)
    expect((await closeWith(incident)).status).toBe(200)
    const other = await closeWith(incident, { person: 'Somebody Else' })
    expect([other.status, other.body.detail]).toEqual([409, expect.stringContaining('Bram Oduya closed this incident')])
  })

  it('is refused while the contact time is not reached, and says how far it is', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    await held(bodyId, 5)
    await held(bodyId, 20)
    const answer = await closeWith(incident)
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.exception']])
    expect(answer.body.detail).toContain('tests prove 50 % (CT 30 of 60 mg·min/L)')
    expect((await overviewOf(bodyId)).standing?.severity).toBe('close')
  })

  it('without the contact time needs who allows it and why, and keeps both', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    await held(bodyId, 20)
    const exception = { authority: 'Harbor county health department', reason: 'drained and filled anew' }
    const refused = await closeWith(incident, { exception: { ...exception, authority: ' ' } })
    expect([refused.status, pathsOf(refused)]).toEqual([400, ['body.exception.authority']])
    const { status, body } = await closeWith(incident, { exception })
    expect(status).toBe(200)
    expect(body.closing).toMatchObject({ exception, contact: { state: 'running', ctMgMinL: 0 } })
  })

  it('is refused where nothing published fits and nobody allows it', async () => {
    const bodyId = await anotherBody({ sanitizerSystem: 'bromine' })
    const incident = await report(bodyId)
    const answer = await closeWith(incident)
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.exception']])
    expect(answer.body.detail).toContain('bromine')
  })

  it('asks for every check', async () => {
    const incident = await reachedIncident()
    const answer = await closeWith(incident, { checks: CHECKS.slice(1) })
    expect([answer.status, pathsOf(answer)]).toEqual([400, ['body.checks']])
    expect(answer.body.detail).toContain('disinfected')
    const unknown = await closeWith(incident, { checks: ['swept'] })
    expect([unknown.status, pathsOf(unknown)]).toEqual([400, ['body.checks.0']])
  })

  it('is refused while the newest test says that bathers may not be in it, whoever checked', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    await held(bodyId, 5, { freeChlorineMgL: 22, totalChlorineMgL: 23 })
    await held(bodyId, 40, { freeChlorineMgL: 21, totalChlorineMgL: 22 })
    expect((await read(incident)).contact?.state).toBe('reached')
    expect((await read(incident)).obstacles).toHaveLength(1)
    const answer = await closeWith(incident)
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.checks']])
    expect(answer.body.detail).toMatch(/Free chlorine 21 mg\/L is over the maximum of 10 mg\/L/)
    await held(bodyId, 44)
    expect((await closeWith(incident)).status).toBe(200)
  })

  it('is refused without a test since the contact time was reached', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    const exception = { authority: 'County', reason: 'filled anew' }
    const answer = await closeWith(incident, { exception })
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.checks']])
    expect(answer.body.detail).toContain('No test of free chlorine since the incident is entered.')
  })

  it('goes by what was known at the time of closing', async () => {
    const bodyId = await anotherBody()
    const incident = await report(bodyId)
    await held(bodyId, 5)
    await held(bodyId, 40)
    const early = await closeWith(incident, { at: at(30) })
    expect([early.status, pathsOf(early)]).toEqual([409, ['body.exception']])
  })

  it.each([
    ['before the incident', at(-5)],
    ['in the future', at(600)],
    ['at no time', 'noon'],
  ])('is refused %s', async (_when, time) => {
    const incident = await reachedIncident()
    const answer = await closeWith(incident, { at: time })
    expect([answer.status, pathsOf(answer)]).toEqual([400, ['body.at']])
  })
})

describe('lists', () => {
  it('come newest first, by body, by facility, open or closed', async () => {
    const facility = (await makeFacility(api)).id
    const [one, two] = [(await makeBody(api, facility)).id, (await makeBody(api, facility)).id]
    const first = await report(one, { at: at(0) })
    await held(one, 5)
    await held(one, 40)
    await closeWith(first)
    const second = await report(two, { at: at(10) })
    const third = await report(one, { at: at(20) })
    const ids = async (query: string) =>
      (await get(api, `/incidents?${query}`)).body.items.map(({ id }: { id: string }) => id)
    expect(await ids(`facilityId=${facility}`)).toEqual([third.id, second.id, first.id])
    expect(await ids(`facilityId=${facility}&open=true`)).toEqual([third.id, second.id])
    expect(await ids(`bodyId=${one}&open=false`)).toEqual([first.id])
    expect(await ids(`facilityId=${facility}&limit=1&offset=1`)).toEqual([second.id])
    expect(await ids(`bodyId=${uuidv7()}`)).toEqual([])
  })

  it.each([['bodyId=7'], ['open=maybe'], ['limit=0']])('refuse %s', async (query) => {
    expect((await get(api, `/incidents?${query}`)).status).toBe(400)
  })
})

describe('what there is not', () => {
  it('is a 404 that names it, for every verb', async () => {
    const bodyId = await anotherBody()
    const { id } = await report(await anotherBody())
    for (const there of [
      { bodyId, id },
      { bodyId: uuidv7(), id: uuidv7() },
    ]) {
      const answers = [
        await get(api, `/bodies/${there.bodyId}/incidents/${there.id}`),
        await post(api, urlOf(there, 'correct'), { ...reportOf(there.bodyId), reason: 'because' }),
        await closeWith(there),
      ]
      expect(answers.map(({ status }) => status)).toEqual([404, 404, 404])
      for (const { body } of answers) expect(body.detail).toContain(there.id)
    }
  })

  it('as an id is a 400', async () => {
    expect((await get(api, '/bodies/7/incidents/8')).status).toBe(400)
  })
})

describe('time alone', () => {
  it('brings the body back to judgement when the contact time may be complete', async () => {
    const bodyId = await anotherBody()
    await report(bodyId)
    clockAt(6)
    await held(bodyId, 5)
    const due = async () =>
      (await api.db.pool.query('SELECT due_at FROM standing WHERE body_id = $1', [bodyId])).rows[0].due_at
    expect(+(await due())).toBeLessThanOrEqual(Date.parse(at(35)))
    expect(+(await due())).toBeGreaterThan(+api.clock.now)
  })
})
