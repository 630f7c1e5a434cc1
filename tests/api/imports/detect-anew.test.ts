// What detection took wrong, a person puts right: the file is looked at again.

import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { get, pathsOf, post } from '../support/company.ts'
import { bringIn, check, type ImportApi, place, run, startImportApi, upload } from './exports.ts'

let api: ImportApi
beforeAll(async () => {
  api = await startImportApi()
})
afterAll(() => api.stop())

const file = [
  'Plant,Pump,Panel',
  'north,east,west',
  'Time,pH,ORP mV',
  '2026-11-01 00:00,7.31,700',
  '2026-11-01 00:05,7.32,701',
  '',
].join('\n')
const utcPlace = () => place(api, ['Lap pool'], { timeZone: 'Etc/UTC' })
const detect = (importId: string, said: object) => post(api, `/imports/${importId}/detect`, said)

it('takes the line of column names, the delimiter and the encoding from a person, and forgets an earlier check', async () => {
  const { facilityId } = await utcPlace()
  const uploaded = await upload(api, facilityId, file)
  const wrong = await detect(uploaded.id, { headerLine: 1 })
  expect(wrong.body.detection).toMatchObject({ headerLine: 1, columns: [{ name: 'Plant' }, {}, {}], proposal: null })

  const right = await detect(uploaded.id, { headerLine: 3, delimiter: ',', encoding: 'windows-1252' })
  expect(right.status).toBe(200)
  expect(right.body).toMatchObject({ state: 'uploaded', detection: { headerLine: 3, encoding: 'windows-1252' } })
  expect(await check(api, uploaded.id, right.body.detection.proposal)).toMatchObject({ state: 'checked' })

  expect((await detect(uploaded.id, {})).body).toMatchObject({ state: 'uploaded', layout: null, counts: null })
  expect((await post(api, `/imports/${uploaded.id}/run`, {})).status).toBe(409)
})

it('reads what was detected anew', async () => {
  const { facilityId } = await utcPlace()
  const uploaded = await upload(api, facilityId, file)
  const { body } = await detect(uploaded.id, { headerLine: 3 })
  await check(api, uploaded.id, body.detection.proposal)
  expect(await run(api, uploaded.id)).toMatchObject({ state: 'done', counts: { rows: 2, stored: 2, rejected: 0 } })
})

it('can be told that there are no column names', async () => {
  const { facilityId } = await utcPlace()
  const uploaded = await upload(api, facilityId, file)
  const { body } = await detect(uploaded.id, { headerLine: null })
  expect(body.detection).toMatchObject({ headerLine: null, firstRows: [['2026-11-01 00:00', '7.31', '700'], {}] })
})

it('refuses a line that is not there, another delimiter, what is unknown, and what is imported', async () => {
  const { facilityId } = await utcPlace()
  const uploaded = await upload(api, facilityId, file)
  const past = await detect(uploaded.id, { headerLine: 99 })
  expect([past.status, pathsOf(past)]).toEqual([400, ['body.headerLine']])
  const sign = await detect(uploaded.id, { delimiter: '#' })
  expect([sign.status, pathsOf(sign)]).toEqual([400, ['body.delimiter']])
  expect((await detect(uuidv7(), {})).status).toBe(404)
  expect((await get(api, `/imports/${uploaded.id}`)).body.detection.headerLine).toBe(uploaded.detection?.headerLine)

  const { done } = await bringIn(api, facilityId, 'Time,pH\n2026-11-01 00:00,7.3\n')
  expect((await detect(done.id, {})).status).toBe(409)
})
