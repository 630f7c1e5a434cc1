import type { Plant } from '@sightglass/contract'
import pg from 'pg'
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import {
  anyName,
  bodyOf,
  get,
  makeBody,
  makeController,
  makeDrum,
  makeFacility,
  makeFeeder,
  makePlant,
  makeRoom,
  patch,
  pathsOf,
  post,
  startTestApi,
  type TestApi,
} from './support/company.ts'

let api: TestApi
beforeAll(async () => {
  api = await startTestApi()
})
afterAll(() => api.stop())

const plantOf = async (facilityId: string, retired = false) =>
  (await get<Plant>(api, `/facilities/${facilityId}${retired ? '?retired=true' : ''}`)).body

describe('creating', () => {
  it('fills in what was not given, and nothing else', async () => {
    const { body, status } = await post(api, '/facilities', { name: ' Heron Court ', timeZone: 'Europe/Berlin' })
    expect(status).toBe(201)
    expect(body).toMatchObject({
      name: 'Heron Court',
      profileKey: 'cdc-mahc',
      area: '',
      note: '',
      retiredAt: null,
      createdAt: '2026-11-25T06:00:00.000Z',
    })
  })

  it('gives the same answer to the same id sent again, also when both arrive at once', async () => {
    const { id: facilityId } = await makeFacility(api)
    const pool = bodyOf(facilityId, { id: uuidv7() })
    const [first, second] = await Promise.all([post(api, '/bodies', pool), post(api, '/bodies', pool)])
    expect([first.status, second.status]).toEqual([201, 201])
    expect(second.body).toEqual(first.body)
    expect((await plantOf(facilityId)).bodies).toHaveLength(1)
  })

  it('takes an id in capitals for the same id', async () => {
    const { id: facilityId } = await makeFacility(api)
    const pool = bodyOf(facilityId, { id: uuidv7() })
    await post(api, '/bodies', pool)
    const again = await post(api, '/bodies', {
      ...pool,
      id: pool.id.toUpperCase(),
      facilityId: facilityId.toUpperCase(),
    })
    expect(again.status).toBe(201)
    expect(again.body.id).toBe(pool.id)
  })

  it('refuses an id that is taken by something else', async () => {
    const { id, facilityId } = await makeBody(api, (await makeFacility(api)).id)
    const other = await post(api, '/bodies', bodyOf(facilityId, { id }))
    expect(other.status).toBe(409)
    expect(other.body.detail).toContain(id)
  })

  it('makes a standing that is unheard and due, never fine', async () => {
    const body = await makeBody(api, (await makeFacility(api)).id)
    const { rows } = await api.db.pool.query('SELECT severity FROM standing WHERE body_id = $1', [body.id])
    expect(rows).toHaveLength(1)
    expect(rows[0].severity).not.toBe('fine')
  })
})

describe('what is refused', () => {
  it.each([
    ['a name', '/facilities', { timeZone: 'UTC' }, ['body.name']],
    ['an empty name', '/facilities', { name: '  ', timeZone: 'UTC' }, ['body.name']],
    ['a zone that does not exist', '/facilities', { name: 'Zoneless', timeZone: 'Mars/Olympus' }, ['body.timeZone']],
    [
      'an address that is no e-mail',
      '/facilities',
      { name: 'M', timeZone: 'UTC', contactEmail: 'x' },
      ['body.contactEmail'],
    ],
    ['no volume', '/bodies', bodyOf(uuidv7(), { volumeL: 0 }), ['body.volumeL']],
    ['an unknown class', '/bodies', bodyOf(uuidv7(), { useClass: 'pond' }), ['body.useClass']],
  ])('400 with the field: %s', async (_what, url, payload, paths) => {
    const answer = await post(api, url, payload)
    expect(answer.status).toBe(400)
    expect(answer.type).toContain('application/problem+json')
    expect(pathsOf(answer)).toEqual(paths)
  })

  it('an unknown code profile, with the keys there are', async () => {
    const answer = await post(api, '/facilities', { name: anyName('X'), timeZone: 'UTC', profileKey: 'moon-code' })
    expect(answer.status).toBe(400)
    expect(pathsOf(answer)).toEqual(['body.profileKey'])
    expect(answer.body.detail).toContain('cdc-mahc')
  })

  it.each([
    ['/equipment-rooms', { facilityId: uuidv7(), name: 'R' }, 'body.facilityId'],
    ['/bodies', bodyOf(uuidv7()), 'body.facilityId'],
    ['/controllers', { equipmentRoomId: uuidv7(), name: 'C' }, 'body.equipmentRoomId'],
    ['/channels', { controllerId: uuidv7(), bodyId: uuidv7(), quantity: 'ph' }, 'body.controllerId'],
    ['/drums', { equipmentRoomId: uuidv7(), name: 'D', content: 'trichlor', capacityL: 1 }, 'body.equipmentRoomId'],
    ['/feeders', { bodyId: uuidv7(), name: 'F', role: 'ph', kind: 'pump' }, 'body.bodyId'],
  ])('%s on a parent that does not exist', async (url, payload, path) => {
    const answer = await post(api, url, payload)
    expect(answer.status).toBe(400)
    expect(pathsOf(answer)).toEqual([path])
  })

  it('names that are taken, whatever their case, until the other is retired', async () => {
    const first = await makeFacility(api, { name: 'Plover Lodge' })
    const taken = await post(api, '/facilities', { name: 'PLOVER LODGE', timeZone: 'UTC' })
    expect(taken.status).toBe(409)
    expect(pathsOf(taken)).toEqual(['body.name'])
    expect(taken.body.detail).toContain('Another facility has this name')
    await post(api, `/facilities/${first.id}/retire`)
    expect((await post(api, '/facilities', { name: 'PLOVER LODGE', timeZone: 'UTC' })).status).toBe(201)
  })

  it('a role that is taken, and a quantity that is heard already', async () => {
    const { body, controller, room } = await makePlant(api)
    const feeder = await post(api, '/feeders', { bodyId: body.id, name: 'Second', role: 'primary', kind: 'pump' })
    expect([feeder.status, pathsOf(feeder)]).toEqual([409, ['body.role']])
    const second = await makeController(api, room.id)
    for (const controllerId of [controller.id, second.id]) {
      const channel = await post(api, '/channels', { controllerId, bodyId: body.id, quantity: 'ph' })
      expect([channel.status, pathsOf(channel)]).toEqual([409, ['body.quantity']])
    }
  })

  it('things of another facility', async () => {
    const here = await makePlant(api)
    const there = await makePlant(api)
    const room = await post(api, '/bodies', bodyOf(here.facility.id, { equipmentRoomId: there.room.id }))
    expect([room.status, pathsOf(room)]).toEqual([400, ['body.equipmentRoomId']])
    const channel = await post(api, '/channels', {
      controllerId: there.controller.id,
      bodyId: here.body.id,
      quantity: 'tempC',
    })
    expect([channel.status, pathsOf(channel)]).toEqual([400, ['body.controllerId']])
    const drum = await patch(api, `/feeders/${here.feeder.id}`, { drumId: there.drum.id })
    expect([drum.status, pathsOf(drum)]).toEqual([400, ['body.drumId']])
    expect((await plantOf(here.facility.id)).feeders[0]?.drumId).toBe(here.drum.id)
  })

  it('acid for a sanitizer feeder and sanitizer for a pH feeder, also by way of editing', async () => {
    const { room, body, drum, feeder } = await makePlant(api)
    const acid = await makeDrum(api, room.id, { content: 'hydrochloricAcid' })
    const wrong = await patch(api, `/feeders/${feeder.id}`, { drumId: acid.id })
    expect([wrong.status, pathsOf(wrong)]).toEqual([400, ['body.drumId']])
    expect(wrong.body.detail).toContain('chlorine gas')
    const ph = { bodyId: body.id, name: 'Acid pump', role: 'ph', kind: 'pump' }
    expect((await post(api, '/feeders', { ...ph, drumId: drum.id })).status).toBe(400)
    expect((await post(api, '/feeders', { ...ph, drumId: acid.id })).status).toBe(201)
    const swapped = await patch(api, `/drums/${drum.id}`, { content: 'sulfuricAcid' })
    expect([swapped.status, pathsOf(swapped)]).toEqual([400, ['body.content']])
    expect((await patch(api, `/drums/${acid.id}`, { content: 'carbonDioxide' })).status).toBe(200)
  })

  it.each(['facilities', 'equipment-rooms', 'bodies', 'controllers', 'drums', 'feeders'])(
    'unknown ids of %s: 404',
    async (path) => {
      expect((await patch(api, `/${path}/${uuidv7()}`, { note: 'x' })).status).toBe(404)
      expect((await post(api, `/${path}/${uuidv7()}/retire`)).status).toBe(404)
    },
  )

  it('an id that is none: 400 with its path', async () => {
    const answer = await get(api, '/facilities/12')
    expect([answer.status, pathsOf(answer)]).toEqual([400, ['params.facilityId']])
  })
})

describe('editing', () => {
  it('changes what was given and leaves the rest', async () => {
    const facility = await makeFacility(api, { area: 'North', note: 'gate code at the desk' })
    api.clock.now = new Date(+api.clock.now + 1000)
    const { body } = await patch(api, `/facilities/${facility.id}`, { area: 'South' })
    expect(body).toEqual({ ...facility, area: 'South', updatedAt: api.clock.now.toISOString() })
  })

  it('clears a fact with null', async () => {
    const pool = await makeBody(api, (await makeFacility(api)).id, { volumeL: 100_000 })
    expect((await patch(api, `/bodies/${pool.id}`, { volumeL: null })).body.volumeL).toBeNull()
  })

  it('does not move a body to another facility', async () => {
    const pool = await makeBody(api, (await makeFacility(api)).id)
    const other = await makeFacility(api)
    expect((await patch(api, `/bodies/${pool.id}`, { facilityId: other.id })).body.facilityId).toBe(pool.facilityId)
  })

  it('refuses what is retired', async () => {
    const pool = await makeBody(api, (await makeFacility(api)).id)
    await post(api, `/bodies/${pool.id}/retire`)
    expect((await patch(api, `/bodies/${pool.id}`, { note: 'late' })).status).toBe(409)
  })
})

describe('retiring', () => {
  it('takes everything of a facility with it and deletes nothing', async () => {
    const { facility, body } = await makePlant(api)
    const { status, body: retired } = await post(api, `/facilities/${facility.id}/retire`)
    expect(status).toBe(200)
    expect(retired.retiredAt).not.toBeNull()
    const shown = await plantOf(facility.id)
    for (const things of Object.values(shown).filter(Array.isArray)) expect(things).toEqual([])
    const all = await plantOf(facility.id, true)
    for (const things of Object.values(all).filter(Array.isArray)) {
      expect(things.length).toBeGreaterThan(0)
      for (const thing of things) expect(thing.retiredAt).not.toBeNull()
    }
    expect((await post(api, '/bodies', bodyOf(facility.id))).status).toBe(400)
    expect((await get(api, `/triage?facilityId=${facility.id}`)).body.rows).toEqual([])
    expect((await get(api, `/bodies/${body.id}`)).status).toBe(200)
  })

  it('gives the same answer twice', async () => {
    const { drum } = await makePlant(api)
    const first = await post(api, `/drums/${drum.id}/retire`)
    api.clock.now = new Date(+api.clock.now + 60_000)
    expect(await post(api, `/drums/${drum.id}/retire`)).toMatchObject({ status: 200, body: first.body })
  })

  it('leaves the water when its equipment room goes', async () => {
    const { facility, room, body, feeder } = await makePlant(api)
    await post(api, `/equipment-rooms/${room.id}/retire`)
    const plant = await plantOf(facility.id)
    expect(plant.bodies).toMatchObject([{ id: body.id, equipmentRoomId: null }])
    expect(plant.feeders).toMatchObject([{ id: feeder.id, drumId: null }])
    expect([plant.controllers, plant.channels, plant.drums]).toEqual([[], [], []])
  })

  it('frees the quantities of a retired controller and the role of a retired feeder', async () => {
    const { room, body, controller, feeder } = await makePlant(api)
    await post(api, `/controllers/${controller.id}/retire`)
    await post(api, `/feeders/${feeder.id}/retire`)
    const next = await makeController(api, room.id)
    expect((await post(api, '/channels', { controllerId: next.id, bodyId: body.id, quantity: 'ph' })).status).toBe(201)
    await makeFeeder(api, body.id)
  })

  it('takes a body out of triage and closes its findings, which stay readable', async () => {
    const { facility, body } = await makePlant(api)
    const before = (await get(api, `/bodies/${body.id}`)).body
    expect(before.findings.length).toBeGreaterThan(0)
    await post(api, `/bodies/${body.id}/retire`)
    expect((await get(api, `/triage?facilityId=${facility.id}`)).body.total).toBe(0)
    const after = (await get(api, `/bodies/${body.id}`)).body
    expect(after.findings).toEqual([])
    expect(after.closedFindings).toHaveLength(before.findings.length)
    const { rows } = await api.db.pool.query('SELECT due_at FROM standing WHERE body_id = $1', [body.id])
    expect(rows).toEqual([{ due_at: null }])
  })
})

describe('lists', () => {
  it('searches name, area and address; a % is a letter', async () => {
    await makeFacility(api, { name: 'Grebe 100% Club', area: 'Quayside' })
    await makeFacility(api, { name: 'Grebe 1000 Club', address: '5 Quay Street' })
    const names = async (q: string) =>
      (await get(api, `/facilities?q=${encodeURIComponent(q)}`)).body.items.map(({ name }: { name: string }) => name)
    expect(await names('grebe 100%')).toEqual(['Grebe 100% Club'])
    expect(await names('quay')).toEqual(['Grebe 100% Club', 'Grebe 1000 Club'])
    expect(await names('_____________________________')).toEqual([])
  })

  it('counts the bodies in use and pages', async () => {
    const facility = await makeFacility(api, { name: 'Zander Baths' })
    await makeBody(api, facility.id)
    await post(api, `/bodies/${(await makeBody(api, facility.id)).id}/retire`)
    expect((await get(api, '/facilities?q=Zander')).body.items).toMatchObject([{ name: 'Zander Baths', bodies: 1 }])
    const all = (await get(api, '/facilities?limit=500')).body
    const page = (await get(api, '/facilities?limit=2&offset=1')).body
    expect(page).toEqual({ total: all.total, items: all.items.slice(1, 3) })
    expect((await get(api, '/facilities?offset=9999')).body).toEqual({ total: all.total, items: [] })
  })

  it('shows each drum with its last level', async () => {
    const { facility, room, drum } = await makePlant(api)
    const other = await makeDrum(api, room.id, { name: 'Z acid', content: 'hydrochloricAcid' })
    const level = { person: 'Ines Calloway', deliveredL: 0 }
    await post(api, `/drums/${drum.id}/levels`, { ...level, at: '2026-11-24T06:00:00Z', levelL: 120 })
    await post(api, `/drums/${drum.id}/levels`, { ...level, at: '2026-11-23T06:00:00Z', levelL: 150 })
    const { drums } = await plantOf(facility.id)
    expect(drums.find(({ id }) => id === drum.id)?.lastLevel).toMatchObject({
      levelL: 120,
      at: '2026-11-24T06:00:00.000Z',
    })
    expect(drums.find(({ id }) => id === other.id)?.lastLevel).toBeNull()
  })

  it('shows a plant, and the list, in as many queries for a large facility as for a small one', async () => {
    const small = await makePlant(api)
    const { facility } = await makePlant(api)
    for (let more = 0; more < 5; more++) {
      const room = await makeRoom(api, facility.id)
      await makeDrum(api, room.id)
      await makeBody(api, facility.id, { equipmentRoomId: room.id })
    }
    const asked = vi.spyOn(pg.Client.prototype, 'query')
    const countOf = async (url: string) => {
      asked.mockClear()
      expect((await get(api, url)).status).toBe(200)
      return asked.mock.calls.length
    }
    const few = await countOf(`/facilities/${small.facility.id}`)
    expect(few).toBeGreaterThan(0)
    expect(await countOf(`/facilities/${facility.id}`)).toBe(few)
    expect(await countOf('/facilities?limit=500')).toBe(1)
    vi.restoreAllMocks()
  })

  it('shows a room without anything in it', async () => {
    const facility = await makeFacility(api)
    await makeRoom(api, facility.id, { name: 'Empty' })
    expect(await plantOf(facility.id)).toMatchObject({ equipmentRooms: [{ name: 'Empty' }], bodies: [] })
  })
})

describe('drum levels', () => {
  const at = '2026-11-25T05:00:00Z'
  const person = 'Ines Calloway'

  it('are kept, newest first, and the same one twice is one', async () => {
    const { drum } = await makePlant(api)
    const level = { id: uuidv7(), at, levelL: 80, person }
    expect((await post(api, `/drums/${drum.id}/levels`, level)).status).toBe(201)
    expect((await post(api, `/drums/${drum.id}/levels`, level)).status).toBe(201)
    expect((await post(api, `/drums/${drum.id}/levels`, { ...level, levelL: 81 })).status).toBe(409)
    const list = (await get(api, `/drums/${drum.id}/levels`)).body
    expect(list).toMatchObject({ total: 1, items: [{ levelL: 80, deliveredL: 0, drumId: drum.id }] })
  })

  it.each([
    ['more than the drum holds', { at, levelL: 300, person }, 'body.levelL'],
    ['under 0', { at, levelL: -1, person }, 'body.levelL'],
    ['from the future', { at: '2026-12-25T05:00:00Z', levelL: 10, person }, 'body.at'],
    ['from before 2000', { at: '1999-12-31T23:59:00Z', levelL: 10, person }, 'body.at'],
    ['from nobody', { at, levelL: 10, person: ' ' }, 'body.person'],
  ])('refused: %s', async (_what, level, path) => {
    const { drum } = await makePlant(api)
    const answer = await post(api, `/drums/${drum.id}/levels`, level)
    expect([answer.status, pathsOf(answer)]).toEqual([400, [path]])
  })

  it('of an unknown drum 404, of a retired one 409', async () => {
    expect((await post(api, `/drums/${uuidv7()}/levels`, { at, levelL: 1, person })).status).toBe(404)
    expect((await get(api, `/drums/${uuidv7()}/levels`)).status).toBe(404)
    const { drum } = await makePlant(api)
    await post(api, `/drums/${drum.id}/retire`)
    expect((await post(api, `/drums/${drum.id}/levels`, { at, levelL: 1, person })).status).toBe(409)
  })
})
