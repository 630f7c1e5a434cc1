// What the contract takes and refuses, case by case.
import { PARAMETERS, type Parameter, QUANTITIES } from '@sightglass/chemistry'
import {
  bodyCreate,
  bodyEdit,
  controllerEdit,
  drumEdit,
  drumLevelCreate,
  equipmentRoomEdit,
  facilityCreate,
  facilityEdit,
  feederEdit,
  id,
  instant,
  isUnusual,
  layout,
  PARAMETER_RANGES,
  profileCreate,
  profileEdit,
  QUANTITY_RANGES,
  readingCorrect,
  readingCreate,
  readingsCreate,
  samplePush,
  sampleValues,
  testValues,
  timeZone,
  triageQuery,
} from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import type { z } from 'zod'

const ID = '0199b0c4-7a1e-7000-8000-000000000000'
const messagesOf = (schema: z.ZodType, given: unknown) =>
  schema.safeParse(given).error?.issues.map(({ path, message }) => `${path.join('.')}: ${message}`) ?? []
const takes = (schema: z.ZodType, given: unknown) => expect(messagesOf(schema, given)).toEqual([])

describe('values of a test', () => {
  it.each(PARAMETERS)('%s: at both ends of what is possible, and not a hair beyond', (parameter) => {
    const { hard, usual } = PARAMETER_RANGES[parameter]
    const [low, high] = hard
    takes(testValues, { [parameter]: low })
    takes(testValues, { [parameter]: high })
    for (const value of [low - 0.01, high + 0.01])
      expect(messagesOf(testValues, { [parameter]: value })).toEqual([
        expect.stringContaining(`outside ${low} to ${high}`),
      ])
    expect(usual[0]).toBeGreaterThanOrEqual(low)
    expect(usual[1]).toBeLessThanOrEqual(high)
  })

  it.each([
    ['ph', 77, 'ph: pH 77 is outside 0 to 14. Did you mean 7.7?'],
    ['ph', 745, 'ph: pH 745 is outside 0 to 14. Did you mean 7.45?'],
    ['ph', -7.4, 'ph: pH -7.4 is outside 0 to 14.'],
    ['ph', 7400, 'ph: pH 7400 is outside 0 to 14.'],
    ['freeChlorineMgL', 2500, 'freeChlorineMgL: Free chlorine 2500 is outside 0 to 200. Did you mean 25?'],
    ['tempC', 82, 'tempC: Water temperature 82 is outside -2 to 60. Did you mean 8.2?'],
    ['saltMgL', 320_000, 'saltMgL: Salt 320000 is outside 0 to 100000. Did you mean 32000?'],
  ])('%s %d', (parameter, value, message) => {
    expect(messagesOf(testValues, { [parameter]: value })).toEqual([message])
  })

  it.each([[Number.NaN], ['7.4'], [null], [true], [Number.POSITIVE_INFINITY]])('refuses %s for a number', (value) => {
    expect(messagesOf(testValues, { ph: value })).toEqual(['ph: pH must be a number'])
  })

  it.each<[Parameter, number, boolean]>([
    ['ph', 6.5, true],
    ['ph', 6.6, false],
    ['ph', 8.4, false],
    ['ph', 8.5, true],
    ['freeChlorineMgL', 0, false],
    ['freeChlorineMgL', 12.1, true],
    ['tempC', 9, true],
    ['tempC', 42, false],
  ])('%s %d asks for a word of confirmation: %s', (parameter, value, asked) => {
    expect(isUnusual(PARAMETER_RANGES[parameter], value)).toBe(asked)
  })

  it('knows every parameter and every quantity', () => {
    expect(Object.keys(testValues.shape)).toEqual([...PARAMETERS])
    expect(Object.keys(sampleValues.shape)).toEqual([...QUANTITIES])
    expect(Object.keys(QUANTITY_RANGES)).toEqual([...QUANTITIES])
  })
})

describe('a reading', () => {
  const model = {
    id: ID,
    bodyId: ID,
    at: '2026-11-25T06:00:00Z',
    person: 'Ines',
    method: 'dropTest',
    values: { ph: 7.4 },
  }

  it('needs nothing but body, time, person, method and one value', () => {
    takes(readingCreate, model)
    takes(readingCreate, { ...model, values: {}, displayOrpMv: 700 })
    takes(readingCreate, { ...model, values: {}, displayPh: 7.4 })
    for (const key of Object.keys(model)) {
      const { [key as 'id']: _, ...rest } = model
      expect(messagesOf(readingCreate, rest).join()).toContain(key)
    }
  })

  it.each([
    ['no value at all', { values: {} }, 'values: at least one value must be given'],
    ['a display that shows nothing', { values: {}, displayPh: null }, 'values: at least one value must be given'],
    [
      'total chlorine under free',
      { values: { freeChlorineMgL: 3, totalChlorineMgL: 2.7 } },
      'values.totalChlorineMgL: total chlorine cannot be under free chlorine: were the two swapped?',
    ],
    ['a person without a name', { person: '   ' }, 'person: must name the person'],
    ['an id of its own making', { id: '17' }, 'id: is not an id'],
    ['a display out of range', { displayPh: 15 }, 'displayPh: '],
    ['confirmation of something unknown', { confirmed: ['colour'] }, 'confirmed.0: '],
  ])('refuses %s', (_what, given, message) => {
    expect(messagesOf(readingCreate, { ...model, ...given })).toEqual([expect.stringContaining(message)])
  })

  it.each([
    [3, 3],
    [3, 2.8],
    [0, 0],
    [1, 4],
  ])('takes free %d with total %d: a kit reads in steps', (freeChlorineMgL, totalChlorineMgL) => {
    takes(readingCreate, { ...model, values: { freeChlorineMgL, totalChlorineMgL } })
  })

  it('comes in sheets of 1 to 500', () => {
    const sheet = (length: number) => ({ readings: Array.from({ length }, () => model) })
    takes(readingsCreate, sheet(1))
    takes(readingsCreate, sheet(500))
    expect(messagesOf(readingsCreate, sheet(0))).toHaveLength(1)
    expect(messagesOf(readingsCreate, sheet(501))).toHaveLength(1)
  })

  it('is corrected with a reason, by the same rules', () => {
    const { bodyId: _, ...version } = model
    takes(readingCorrect, { ...version, reason: 'misread' })
    expect(messagesOf(readingCorrect, { ...version, reason: ' ' })).toEqual(['reason: must say why'])
    const swapped = { freeChlorineMgL: 3, totalChlorineMgL: 1 }
    expect(messagesOf(readingCorrect, { ...version, reason: 'misread', values: swapped })).toHaveLength(1)
  })
})

describe('edits', () => {
  it.each([
    ['facility', facilityEdit],
    ['equipment room', equipmentRoomEdit],
    ['body', bodyEdit],
    ['controller', controllerEdit],
    ['drum', drumEdit],
    ['feeder', feederEdit],
  ])('of a %s fill in nothing that was not given', (_thing, schema) => {
    expect(schema.parse({})).toEqual({})
    expect(schema.parse({ name: ' New name ' })).toEqual({ name: 'New name' })
    expect(messagesOf(schema, { name: '' })).toHaveLength(1)
  })

  it('cannot move a thing to another place', () => {
    expect(bodyEdit.parse({ facilityId: ID })).toEqual({})
    expect(drumEdit.parse({ equipmentRoomId: ID })).toEqual({})
    expect(feederEdit.parse({ bodyId: ID })).toEqual({})
  })

  it('set what may be unknown to null, and nothing else', () => {
    takes(bodyEdit, { volumeL: null, equipmentRoomId: null })
    expect(messagesOf(bodyEdit, { name: null })).toHaveLength(1)
    expect(messagesOf(drumEdit, { capacityL: null })).toHaveLength(1)
  })
})

describe('plant', () => {
  const body = {
    facilityId: ID,
    name: 'Pool',
    useClass: 'pool',
    setting: 'indoor',
    sanitizerSystem: 'erosion',
    cyanuricAcidUsed: false,
  }

  it.each([
    ['America/Chicago', true],
    ['Asia/Kolkata', true],
    ['UTC', true],
    ['America/Nowhere', false],
    ['', false],
  ])('zone %s: %s', (zone, taken) => {
    expect(timeZone.safeParse(zone).success).toBe(taken)
  })

  it.each([
    [{ volumeL: 0 }],
    [{ volumeL: -5 }],
    [{ volumeL: 50_000_001 }],
    [{ flowLMin: 0 }],
    [{ surfaceM2: Number.NaN }],
    [{ useClass: 'lake' }],
    [{ cyanuricAcidUsed: 'no' }],
    [{ name: 'x'.repeat(121) }],
    [{ note: 'x'.repeat(2001) }],
  ])('a body with %j is refused', (given) => {
    takes(bodyCreate, body)
    expect(messagesOf(bodyCreate, { ...body, ...given })).toHaveLength(1)
  })

  it.each([
    ['office@larkmead.example.test', true],
    ['', true],
    ['office', false],
    ['a@b', false],
  ])('e-mail %s: %s', (contactEmail, taken) => {
    expect(facilityCreate.safeParse({ name: 'A', timeZone: 'UTC', contactEmail }).success).toBe(taken)
  })

  it('a level is 0 or more, and a delivery is none unless it is given', () => {
    const level = { at: '2026-11-25T06:00:00Z', levelL: 0, person: 'Ines' }
    expect(drumLevelCreate.parse(level)).toMatchObject({ deliveredL: 0 })
    expect(messagesOf(drumLevelCreate, { ...level, levelL: -1 })).toEqual(['levelL: must not be under 0'])
  })

  it('a profile of the company says who, why and whose limit it is', () => {
    const override = { ruleKey: 'x', value: 1, reason: 'plaster', citation: 'our book' }
    const addition = { thing: 'ph', side: 'max', effect: 'act', value: 7.6, when: {}, reason: 'a', citation: 'b' }
    const ours = { name: 'Ours', parentKey: 'y', person: 'Ines', overrides: [{ ...override, value: null }] }
    takes(profileCreate, ours)
    takes(profileCreate, { ...ours, overrides: [], additions: [addition] })
    const refused = (given: object) => messagesOf(profileCreate, { ...ours, ...given })
    for (const key of ['reason', 'citation', 'ruleKey'])
      expect(refused({ overrides: [{ ...override, [key]: '' }] })).toHaveLength(1)
    for (const key of ['reason', 'citation', 'thing', 'side', 'effect'])
      expect(refused({ additions: [{ ...addition, [key]: '' }] })).toHaveLength(1)
    expect(refused({ person: '' })).toEqual(['person: must name the person'])
    expect(refused({ overrides: [] })).toEqual(['overrides: must set at least one rule of your own'])
    // what depends on the water itself is for codes that were read
    expect(
      profileCreate.parse({ ...ours, additions: [{ ...addition, when: { over: { thing: 'ph', value: 7 } } }] })
        .additions[0]?.when,
    ).toEqual({})
  })

  it('a new version of it says why, and of which it is one', () => {
    const override = { ruleKey: 'x', value: 1, reason: 'plaster', citation: 'our book' }
    const edit = { name: 'Ours', person: 'Ines', reason: 'moved', version: 3, overrides: [override] }
    takes(profileEdit, edit)
    expect(messagesOf(profileEdit, { ...edit, reason: ' ' })).toEqual(['reason: must say why it is changed'])
    expect(messagesOf(profileEdit, { ...edit, version: undefined })).toEqual(['version: must be given'])
    expect(messagesOf(profileEdit, { ...edit, overrides: [] })).toEqual([
      'overrides: must set at least one rule of your own',
    ])
  })
})

describe('ids and times', () => {
  it('an id is the same in capitals', () => {
    expect(id.parse(ID.toUpperCase())).toBe(ID)
    for (const wrong of ['', '1', ID.slice(1), `${ID}0`, null, 7]) expect(id.safeParse(wrong).success).toBe(false)
  })

  it.each([
    ['2026-11-25T06:00:00Z', true],
    ['2026-11-25T06:00:00.123Z', true],
    ['2026-11-25T06:00:00-06:00', true],
    ['2026-11-25T06:00:00', false],
    ['2026-11-25', false],
    ['2026-02-30T06:00:00Z', false],
    ['25.11.2026 06:00', false],
    ['2026-11-25T25:00:00Z', false],
  ])('%s: %s', (text, taken) => {
    expect(instant.safeParse(text).success).toBe(taken)
  })
})

describe('a push', () => {
  const sample = { bodyId: ID, at: '2026-11-25T06:00:00Z', values: { ph: 7.4, flowOn: true } }
  it.each([
    ['nothing', []],
    ['more than 5,000 samples', Array.from({ length: 5001 }, () => sample)],
    ['a sample without a value', [{ ...sample, values: {} }]],
    ['a flow switch that is a number', [{ ...sample, values: { flowOn: 1 } }]],
    ['text for a number', [{ ...sample, values: { ph: '7.4' } }]],
  ])('refuses %s', (_what, samples) => {
    takes(samplePush, { batchId: ID, samples: [sample] })
    expect(messagesOf(samplePush, { batchId: ID, samples }).length).toBeGreaterThan(0)
  })
})

it('a push does not let a quantity vanish that it does not know, and lists those it knows', () => {
  const sample = { bodyId: ID, at: '2026-11-25T06:00:00Z', values: { ph: 7.4, orp: 700 } }
  expect(messagesOf(samplePush, { batchId: ID, samples: [sample] })).toEqual([
    `samples.0.values: does not know “orp”: it holds any of ${QUANTITIES.join(', ')}`,
  ])
})

describe('a sample out of range', () => {
  it('does not hold up its batch: ranges are judged sample by sample', () => {
    takes(sampleValues, { phFeedPct: 101, ph: 70 })
  })
})

describe('the morning list’s query', () => {
  it('fills in order and page, and no filter', () => {
    expect(triageQuery.parse({})).toEqual({ sort: 'worst', offset: 0, limit: 100 })
  })

  it.each([
    [{ severity: 'act' }, { severity: ['act'] }],
    [{ severity: 'act,close' }, { severity: ['act', 'close'] }],
    [{ severity: ['act', 'close'] }, { severity: ['act', 'close'] }],
    [{ severity: '' }, { severity: undefined }],
    [{ area: ['North, by the lake', 'South'] }, { area: ['North, by the lake', 'South'] }],
    [{ byFacility: 'true' }, { byFacility: true }],
    [{ byFacility: 'false' }, { byFacility: false }],
    [
      { limit: '500', offset: '20' },
      { limit: 500, offset: 20 },
    ],
    [{ q: '  lake ' }, { q: 'lake' }],
  ])('reads %j', (given, read) => {
    expect(triageQuery.parse(given)).toMatchObject(read)
  })
})

describe('a layout', () => {
  const model = {
    encoding: 'utf-8',
    delimiter: ';',
    decimal: ',',
    headerLine: 1,
    columnNames: ['when', 'pH'],
    time: { dateColumn: 0, timeColumn: null, order: 'dmy', zone: 'Europe/Berlin' },
    keyColumn: null,
    columns: [{ column: 1, key: null, bodyId: ID, quantity: 'ph', unit: 'asStored' }],
  }
  it.each([
    [{ delimiter: '/' }],
    [{ decimal: ';' }],
    [{ headerLine: 0 }],
    [{ time: { ...model.time, order: 'dym' } }],
    [{ time: { ...model.time, zone: 'Berlin' } }],
    [{ columns: [{ ...model.columns[0], quantity: 'colour' }] }],
    [{ columns: [{ ...model.columns[0], column: -1 }] }],
  ])('with %j is refused', (given) => {
    takes(layout, model)
    expect(messagesOf(layout, { ...model, ...given })).toHaveLength(1)
  })
})
