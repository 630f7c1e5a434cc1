// The calls of the import: what each answers when all is well, and what when it is not.

import { createHash } from 'node:crypto'
import { readdir, rm } from 'node:fs/promises'
import type { Layout } from '@sightglass/contract'
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { plainHours } from '../samples/plain-hours.ts'
import { differences, storedHours, storedSamples } from '../samples/stored.ts'
import { ask, get, makeFacility, pathsOf, post, type TestApi } from '../support/company.ts'
import {
  bringIn,
  check,
  ended,
  type ImportApi,
  only,
  partsOf,
  place,
  run,
  send,
  startImportApi,
  upload,
} from './exports.ts'

let api: ImportApi
beforeAll(async () => {
  api = await startImportApi({ UPLOAD_MAX_BYTES: '2000000' })
})
afterAll(() => api.stop())

const two = (value: number) => String(value).padStart(2, '0')
const rows = (count: number, from = 0) =>
  Array.from({ length: count }, (_, index) => {
    const at = new Date(Date.UTC(2026, 10, 1) + (from + index) * 300_000)
    return `${at.toISOString().slice(0, 10)} ${two(at.getUTCHours())}:${two(at.getUTCMinutes())},7.${30 + (index % 20)},${700 + (index % 30)}`
  })
const file = (lines: readonly string[]) => `Time,pH,ORP mV\n${lines.join('\n')}\n`
const utcPlace = (names = ['Lap pool']) => place(api, names, { timeZone: 'Etc/UTC' })
const files = () => readdir(api.uploadDir)

describe('an upload', () => {
  it('is kept as it came, with its size and hash, and is nothing more than uploaded', async () => {
    const { facilityId } = await utcPlace()
    const content = file(rows(20))
    const uploaded = await upload(api, facilityId, content, 'C:\\exports\\north.csv')
    expect(uploaded).toMatchObject({
      facilityId,
      fileName: 'north.csv',
      person: 'Tobias Fenn',
      bytes: content.length,
      sha256: createHash('sha256').update(content).digest('hex'),
      state: 'uploaded',
      progress: 0,
      counts: null,
      failure: null,
      createdAt: api.clock.now.toISOString(),
    })
    expect(uploaded.detection?.firstRows[0]).toEqual(['2026-11-01 00:00', '7.30', '700'])
    expect(await files()).toContain(uploaded.id)
  })

  it('is listed newest first, by facility', async () => {
    const { facilityId } = await utcPlace()
    const one = await upload(api, facilityId, file(rows(3)))
    const other = await upload(api, facilityId, file(rows(4)))
    const { body } = await get(api, `/imports?facilityId=${facilityId}`)
    expect(body).toMatchObject({ total: 2, items: [{ id: other.id }, { id: one.id }] })
    expect((await get(api, '/imports?limit=1')).body.items).toHaveLength(1)
  })

  const refused = async (wrong: (facilityId: string) => Parameters<typeof send>[1]) => {
    const { facilityId } = await utcPlace()
    const there = await files()
    const answer = await send(api, wrong(facilityId))
    expect(await files()).toEqual(there)
    expect(answer.type).toContain('application/problem+json')
    return answer
  }

  it.each([
    [
      'the file first',
      (id: string) => [2, 0, 1].map((i) => partsOf(id, file(rows(3)))[i]),
      ['body.facilityId', 'body.person'],
    ],
    ['no person', (id: string) => [0, 2].map((i) => partsOf(id, file(rows(3)))[i]), ['body.person']],
    ['no file', (id: string) => partsOf(id, '').slice(0, 2), ['body.file']],
    ['a facility that is no id', () => partsOf('north', file(rows(3))), ['body.facilityId']],
    [
      'an empty person',
      (id: string) =>
        partsOf(id, file(rows(3))).map((part) => (part.name === 'person' ? { ...part, value: ' ' } : part)),
      ['body.person'],
    ],
    [
      'something after the file',
      (id: string) => [...partsOf(id, file(rows(3))), { name: 'person', value: 'Late' }],
      ['body.file'],
    ],
    [
      'the file under another name',
      (id: string) => partsOf(id, file(rows(3))).map((part) => (part.fileName ? { ...part, name: 'data' } : part)),
      ['body.data'],
    ],
    ['an empty file', (id: string) => partsOf(id, ''), ['body.file']],
    ['a file of blanks', (id: string) => partsOf(id, ' \n \n'), ['body.file']],
    [
      'a picture',
      (id: string) => partsOf(id, Buffer.from([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72])),
      ['body.file'],
    ],
  ])('with %s is refused, and no file stays', async (_, parts, paths) => {
    const answer = await refused(parts as never)
    expect([answer.status, pathsOf(answer)]).toEqual([400, paths])
  })

  it('of more than 500 columns is refused with their number, and no file stays; 500 are taken', async () => {
    const wide = (columns: number) =>
      [
        ['Time', 'x'],
        ['2026-11-01 00:00', '7'],
      ]
        .map(([first, other]) => [first, ...Array(columns - 1).fill(other)].join(','))
        .join('\n')
    const answer = await refused((id) => partsOf(id, wide(501)))
    expect([answer.status, pathsOf(answer)]).toEqual([400, ['body.file']])
    expect(answer.body.detail).toContain('has 501 columns; at most 500')
    const { facilityId } = await utcPlace()
    expect((await upload(api, facilityId, wide(500))).detection?.columns).toHaveLength(500)
  })

  it('that is no multipart form is refused', async () => {
    expect((await post(api, '/imports', { facilityId: uuidv7() })).status).toBe(400)
  })

  it('larger than the server takes is refused, and no file stays', async () => {
    const answer = await refused((id) => partsOf(id, Buffer.alloc(2_000_001, 'x')))
    expect([answer.status, answer.body.type]).toEqual([413, '/problems/tooLarge'])
  })

  it('for an unknown facility, or a retired one, is refused', async () => {
    expect((await refused(() => partsOf(uuidv7(), file(rows(3))))).status).toBe(404)
    const { id } = await makeFacility(api)
    await post(api, `/facilities/${id}/retire`)
    expect((await refused(() => partsOf(id, file(rows(3))))).status).toBe(409)
  })

  it('of column names alone is taken, and says what is missing', async () => {
    const { facilityId } = await utcPlace()
    const { detection } = await upload(api, facilityId, 'Time,pH,ORP mV\n')
    expect(detection).toMatchObject({ headerLine: 1, proposal: null, questions: [expect.stringContaining('No rows')] })
  })

  it('without a time asks for the time, and shows its rows', async () => {
    const { facilityId } = await utcPlace()
    const { detection } = await upload(api, facilityId, 'pH,ORP mV\n7.41,700\n7.42,701\n')
    expect(detection).toMatchObject({
      headerLine: 1,
      columns: [{ guess: { quantity: 'ph', isTime: false } }, { guess: { quantity: 'orpMv' } }],
      firstRows: [
        ['7.41', '700'],
        ['7.42', '701'],
      ],
      questions: [expect.stringContaining('No column looks like a time')],
    })
  })

  it('of a web page is asked about once, for its rows', async () => {
    const { facilityId } = await utcPlace()
    const page = '<!doctype html>\n<html><head><title>Log in, please</title></head>\n<body>Hello, you</body></html>\n'
    const { detection } = await upload(api, facilityId, page)
    expect(detection).toMatchObject({
      dateOrder: null,
      dateOrderAmbiguous: false,
      proposal: null,
      questions: [expect.stringContaining('No rows')],
    })
  })

  it('asks which body is meant where nothing says so', async () => {
    const { facilityId } = await utcPlace(['Lap pool', 'Diving well'])
    const open = await upload(api, facilityId, file(rows(5)))
    expect(open.detection).toMatchObject({
      proposal: null,
      questions: [expect.stringContaining('which body of water')],
    })
    const named = await upload(api, facilityId, file(rows(5)), 'diving-well 2026-11.csv')
    expect(named.detection?.questions).toEqual([])
    expect(named.detection?.proposal?.columns).toHaveLength(2)
  })

  it('for a facility without channels says that they come first', async () => {
    const { id } = await makeFacility(api, { timeZone: 'Etc/UTC' })
    const { detection } = await upload(api, id, file(rows(5)))
    expect(detection).toMatchObject({ proposal: null, questions: [expect.stringContaining('add its channels first')] })
  })
})

describe('a check', () => {
  it('says what would come in, and stores nothing', async () => {
    const { facilityId, bodies } = await utcPlace()
    await bringIn(api, facilityId, file(rows(10)))
    const uploaded = await upload(api, facilityId, file([...rows(20), 'rubbish,1,2']))
    const checked = await check(api, uploaded.id, uploaded.detection?.proposal)
    expect(checked).toMatchObject({
      state: 'checked',
      progress: 1,
      counts: {
        rows: 21,
        stored: 10,
        same: 10,
        differing: 0,
        rejected: 1,
        bodies: [
          { bodyId: only(bodies), samples: 20, fromAt: '2026-11-01T00:00:00.000Z', toAt: '2026-11-01T01:35:00.000Z' },
        ],
      },
      firstRejects: [{ line: 22 }],
    })
    expect(await storedSamples(api, only(bodies))).toHaveLength(10)
  })

  it('can be made again with another layout, and its rejects are replaced', async () => {
    const { facilityId } = await utcPlace()
    const uploaded = await upload(api, facilityId, file(rows(10)))
    const layout = uploaded.detection?.proposal as Layout
    const wrong = await check(api, uploaded.id, { ...layout, columns: [{ ...layout.columns[0], column: 2 } as never] })
    expect(wrong.counts).toMatchObject({ stored: 0, rejected: 10 })
    const right = await check(api, uploaded.id, layout)
    expect(right).toMatchObject({ counts: { stored: 10, rejected: 0 }, firstRejects: [] })
  })

  it('fails when the header line is not where the layout says', async () => {
    const { facilityId } = await utcPlace()
    const uploaded = await upload(api, facilityId, file(rows(10)))
    const layout = uploaded.detection?.proposal as Layout
    const failed = await check(api, uploaded.id, { ...layout, headerLine: 3 })
    expect(failed).toMatchObject({ state: 'failed', failure: expect.stringContaining('Line 3'), counts: null })
    expect((await post(api, `/imports/${uploaded.id}/run`)).status).toBe(409)
    expect(await check(api, uploaded.id, layout)).toMatchObject({ state: 'checked' })
  })

  it.each([
    [
      'a body of another facility',
      (l: Layout) => ({ ...l, columns: [{ ...l.columns[0], bodyId: uuidv7() }] }),
      'body.layout.columns.0.bodyId',
    ],
    ['no column', (l: Layout) => ({ ...l, columns: [] }), 'body.layout.columns'],
    [
      'a column that is not there',
      (l: Layout) => ({ ...l, columns: [{ ...l.columns[0], column: 9 }] }),
      'body.layout.columns.0.column',
    ],
    [
      'a unit of another quantity',
      (l: Layout) => ({ ...l, columns: [{ ...l.columns[0], unit: 'F' }] }),
      'body.layout.columns.0.unit',
    ],
    [
      'an unknown unit',
      (l: Layout) => ({ ...l, columns: [{ ...l.columns[0], unit: 'K' }] }),
      'body.layout.columns.0.unit',
    ],
    [
      'two columns for one channel',
      (l: Layout) => ({ ...l, columns: [l.columns[0], { ...l.columns[0], column: 2 }] }),
      'body.layout.columns.1',
    ],
    [
      'the time as a value',
      (l: Layout) => ({ ...l, columns: [{ ...l.columns[0], column: 0 }] }),
      'body.layout.columns.0.column',
    ],
    [
      'a key without a key column',
      (l: Layout) => ({ ...l, columns: [{ ...l.columns[0], key: 'PH-1' }] }),
      'body.layout.columns.0.key',
    ],
    [
      'a time column that is not there',
      (l: Layout) => ({ ...l, time: { ...l.time, timeColumn: 7 } }),
      'body.layout.time.timeColumn',
    ],
    [
      'a zone that does not exist',
      (l: Layout) => ({ ...l, time: { ...l.time, zone: 'Mars/Olympus' } }),
      'body.layout.time.zone',
    ],
    ['no layout', () => undefined, 'body.layout'],
  ])('with %s is refused at the place of the layout', async (_, change, path) => {
    const { facilityId } = await utcPlace()
    const uploaded = await upload(api, facilityId, file(rows(10)))
    const answer = await post(api, `/imports/${uploaded.id}/check`, {
      layout: change(uploaded.detection?.proposal as Layout),
    })
    expect([answer.status, pathsOf(answer)]).toEqual([400, [path]])
    expect((await get(api, `/imports/${uploaded.id}`)).body.state).toBe('uploaded')
  })

  it('with a channel or a body that was retired is refused', async () => {
    const { facilityId, bodies } = await utcPlace()
    const uploaded = await upload(api, facilityId, file(rows(10)))
    await post(api, `/bodies/${only(bodies)}/retire`)
    const answer = await post(api, `/imports/${uploaded.id}/check`, { layout: uploaded.detection?.proposal })
    expect([answer.status, pathsOf(answer)[0]]).toEqual([400, 'body.layout.columns.0.bodyId'])
  })
})

describe('a run', () => {
  it('stores all good rows with their hours, assesses the body, and lets the file go', async () => {
    const { facilityId, bodies } = await utcPlace()
    const { uploaded, done } = await bringIn(api, facilityId, file(rows(300)))
    expect(done).toMatchObject({
      state: 'done',
      progress: 1,
      counts: { rows: 300, stored: 300 },
      finishedAt: api.clock.now.toISOString(),
    })
    const stored = await storedSamples(api, only(bodies))
    expect(stored).toHaveLength(300)
    expect(differences(await storedHours(api, only(bodies)), plainHours(stored))).toEqual([])
    // after the commit, off the request's path
    await vi.waitFor(async () => {
      const { rows: standing } = await api.db.pool.query('SELECT assessed_at FROM standing WHERE body_id = $1', [
        only(bodies),
      ])
      expect(standing).toEqual([{ assessed_at: api.clock.now }])
    })
    // the file goes after the import is done
    await vi.waitFor(async () => expect(await files()).not.toContain(uploaded.id))
  })

  it('of the same file changes nothing, of an overlapping one adds what is new', async () => {
    const { facilityId, bodies } = await utcPlace()
    await bringIn(api, facilityId, file(rows(40)))
    const before = await storedSamples(api, only(bodies))
    expect((await bringIn(api, facilityId, file(rows(40)))).done.counts).toMatchObject({
      stored: 0,
      same: 40,
      differing: 0,
    })
    expect(await storedSamples(api, only(bodies))).toEqual(before)
    const changed = rows(60).map((row, index) => (index === 5 ? row.replace(/7\d\d$/, '655') : row))
    expect((await bringIn(api, facilityId, file(changed))).done.counts).toMatchObject({
      stored: 20,
      same: 39,
      differing: 1,
    })
    expect((await storedSamples(api, only(bodies))).slice(0, 40)).toEqual(before)
    expect(
      differences(await storedHours(api, only(bodies)), plainHours(await storedSamples(api, only(bodies)))),
    ).toEqual([])
  })

  it('remembers the layout, which is recognised the next time', async () => {
    const { facilityId, bodies } = await utcPlace(['Lap pool', 'Diving well'])
    const first = await upload(api, facilityId, `Report of today\n${file(rows(10))}`, 'a.csv')
    const target = { key: null, bodyId: bodies[1] as string, unit: 'asStored' } as const
    const layout: Layout = {
      encoding: 'utf-8',
      delimiter: ',',
      decimal: '.',
      headerLine: 2,
      columnNames: ['Time', 'pH', 'ORP mV'],
      time: { dateColumn: 0, timeColumn: null, order: 'ymd', zone: 'Etc/GMT+6' },
      keyColumn: null,
      columns: [{ ...target, column: 1, quantity: 'ph' }],
    }
    await check(api, first.id, layout)
    expect(await run(api, first.id, { rememberAs: 'North controller' })).toMatchObject({
      state: 'done',
      layoutName: 'North controller',
    })
    const next = await upload(api, facilityId, file(rows(10, 20)).replace('Time,pH', 'time , PH'), 'b.csv')
    expect(next).toMatchObject({
      layoutName: 'North controller',
      detection: { knownLayout: { name: 'North controller' }, questions: [] },
    })
    expect(next.detection?.proposal).toEqual({ ...layout, headerLine: 1, columnNames: ['time', 'PH', 'ORP mV'] })
    const elsewhere = await utcPlace(['Lap pool', 'Diving well'])
    expect((await upload(api, elsewhere.facilityId, file(rows(10)), 'b.csv')).detection?.knownLayout).toBeNull()
  })

  it('of a remembered layout leaves out what is no longer in use, and says so', async () => {
    const { facilityId } = await utcPlace()
    const first = await upload(api, facilityId, file(rows(10)))
    await check(api, first.id, first.detection?.proposal)
    await run(api, first.id, { rememberAs: 'North controller' })
    const plant = (await get(api, `/facilities/${facilityId}`)).body
    const channel = plant.channels.find(({ quantity }: { quantity: string }) => quantity === 'orpMv')
    await post(api, `/channels/${channel.id}/retire`)
    const { detection } = await upload(api, facilityId, file(rows(10)))
    expect(detection?.proposal?.columns.map(({ quantity }) => quantity)).toEqual(['ph'])
    expect(detection?.questions).toEqual([expect.stringContaining('no longer in use')])
  })

  it('is refused before a check, twice, and after it is done', async () => {
    const { facilityId } = await utcPlace()
    const uploaded = await upload(api, facilityId, file(rows(10)))
    const refused = async (path = 'run', payload: object = {}) =>
      (await post(api, `/imports/${uploaded.id}/${path}`, payload)).status
    expect(await refused()).toBe(409)
    await check(api, uploaded.id, uploaded.detection?.proposal)
    const both = await Promise.all([refused(), refused()])
    expect(both.sort()).toEqual([202, 409])
    await ended(api, uploaded.id)
    expect(await refused()).toBe(409)
    expect(await refused('check', { layout: uploaded.detection?.proposal })).toBe(409)
  })

  it('of a file that has gone fails, stores nothing, and says what to do', async () => {
    const { facilityId, bodies } = await utcPlace()
    const uploaded = await upload(api, facilityId, file(rows(10)))
    await check(api, uploaded.id, uploaded.detection?.proposal)
    await rm(`${api.uploadDir}/${uploaded.id}`)
    expect(await run(api, uploaded.id)).toMatchObject({
      state: 'failed',
      failure: expect.stringContaining('upload it again'),
    })
    expect(await storedSamples(api, only(bodies))).toEqual([])
  })

  it('of a body that was retired after the check fails whole', async () => {
    const { facilityId, bodies } = await utcPlace()
    const uploaded = await upload(api, facilityId, file(rows(10)))
    await check(api, uploaded.id, uploaded.detection?.proposal)
    await post(api, `/bodies/${only(bodies)}/retire`)
    expect(await run(api, uploaded.id)).toMatchObject({ state: 'failed', failure: expect.stringContaining('retired') })
    expect(await storedSamples(api, only(bodies))).toEqual([])
  })
})

describe('rejected rows', () => {
  it('come in pages and as a file that a spreadsheet opens without running anything', async () => {
    const { facilityId } = await utcPlace()
    const bad = ['=1+1', '@SUM(A1)', '+cmd', '-x', '"a ""b"" c"', '-1'].map((cell) => `2026-11-02 00:00,${cell},700`)
    const { done } = await bringIn(api, facilityId, file([...rows(10), ...bad]))
    const page = await get(api, `/imports/${done.id}/rejects?limit=2&offset=1`)
    expect(page.body).toMatchObject({ total: 6, items: [{ line: 13, column: 'pH', value: '@SUM(A1)' }, { line: 14 }] })
    const csv = await get(api, `/imports/${done.id}/rejects.csv`)
    expect(csv.type).toContain('text/csv')
    expect(csv.headers['content-disposition']).toContain('attachment')
    expect(csv.body.split('\r\n').slice(0, 7)).toEqual([
      '\uFEFFline,column,value,reason',
      `12,pH,'=1+1,This is not a number.`,
      `13,pH,'@SUM(A1),This is not a number.`,
      `14,pH,'+cmd,This is not a number.`,
      `15,pH,'-x,This is not a number.`,
      `16,pH,"a ""b"" c",This is not a number.`,
      '17,pH,-1,pH -1 is outside 0 to 14.',
    ])
  })

  it.each([
    ['North basin, week 47.csv', 'North-basin-week-47', 'North-basin-week-47'],
    ['Grüne "Halle"; x=1.txt', 'Grune-Halle-x-1', 'Gr%C3%BCne-Halle-x-1'],
    ['...', 'export', 'export'],
  ])('come in a file named after %s', async (fileName, ascii, encoded) => {
    const { facilityId } = await utcPlace()
    const { id } = await upload(api, facilityId, file(rows(3)))
    await api.db.pool.query('UPDATE import SET file_name = $2 WHERE id = $1', [id, fileName])
    const csv = await get(api, `/imports/${id}/rejects.csv`)
    expect(csv.headers['content-disposition']).toBe(
      `attachment; filename="rejected-rows-${ascii}.csv"; filename*=UTF-8''rejected-rows-${encoded}.csv`,
    )
  })

  it('are all there, many as they are', async () => {
    const { facilityId } = await utcPlace()
    const { done } = await bringIn(
      api,
      facilityId,
      file([...rows(400), ...Array.from({ length: 12_000 }, (_, i) => `never ${i},7,700`)]),
    )
    expect(done.counts).toMatchObject({ rows: 12_400, stored: 400, rejected: 12_000 })
    const lines = (await get(api, `/imports/${done.id}/rejects.csv`)).body.trimEnd().split('\r\n')
    expect(lines).toHaveLength(12_001)
    expect(lines.at(-1)).toMatch(/^12401,Time,never 11999,/)
  })
})

describe('discarding', () => {
  it('takes the file away and the import out of sight', async () => {
    const { facilityId } = await utcPlace()
    const uploaded = await upload(api, facilityId, file(rows(10)))
    expect((await ask(api, 'DELETE', `/imports/${uploaded.id}`)).status).toBe(204)
    // the file goes after the import is done
    await vi.waitFor(async () => expect(await files()).not.toContain(uploaded.id))
    expect((await get(api, `/imports/${uploaded.id}`)).status).toBe(404)
    expect((await get(api, `/imports?facilityId=${facilityId}`)).body.total).toBe(0)
    expect((await ask(api, 'DELETE', `/imports/${uploaded.id}`)).status).toBe(404)
  })

  it('is refused once the file is imported', async () => {
    const { facilityId } = await utcPlace()
    const { done } = await bringIn(api, facilityId, file(rows(10)))
    expect((await ask(api, 'DELETE', `/imports/${done.id}`)).status).toBe(409)
  })
})

describe('an import that does not exist', () => {
  it.each([
    ['GET', ''],
    ['POST', '/check'],
    ['POST', '/run'],
    ['DELETE', ''],
    ['GET', '/rejects'],
    ['GET', '/rejects.csv'],
  ] as const)('%s %s is not found', async (method, path) => {
    const { facilityId } = await utcPlace()
    const { detection } = await upload(api, facilityId, file(rows(5)))
    const payload = path === '/check' ? { layout: detection?.proposal } : method === 'POST' ? {} : undefined
    expect((await ask(api as TestApi, method, `/imports/${uuidv7()}${path}`, payload)).status).toBe(404)
    expect((await ask(api as TestApi, method, `/imports/nonsense${path}`, payload)).status).toBe(400)
  })
})
