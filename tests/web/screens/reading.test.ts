import { describe, expect, it } from 'vitest'
import {
  type Draft,
  draftOf,
  emptyDraft,
  fieldsFor,
  inSystem,
  problemByRow,
  readDraft,
  readTexts,
  type Texts,
} from '../../../apps/web/shared/entry.ts'

const ZONE = 'America/Chicago'
const now = Date.parse('2026-11-25T12:00:00Z')
const ID = '0199b0c4-7a1e-7000-8000-000000000001'
const draft = (texts: Texts, part: Partial<Draft> = {}): Draft => ({
  ...emptyDraft(ID, now, ZONE, 'D. Fenn', 'us'),
  texts,
  ...part,
})
const read = (texts: Texts, part: Partial<Draft> = {}) => readDraft(draft(texts, part), ZONE, now)

describe('a test as it is typed', () => {
  it('becomes a reading in stored units, at the time of the facility’s clock', () => {
    expect(read({ ph: '7.4', tempC: '82.4', displayOrpMv: '712' })).toEqual({
      state: 'ready',
      reading: {
        id: ID,
        at: '2026-11-25T12:00:00.000Z',
        person: 'D. Fenn',
        method: 'dropTest',
        values: { ph: 7.4, tempC: expect.closeTo(28, 6) },
        displayPh: null,
        displayOrpMv: 712,
        note: '',
        confirmed: [],
      },
    })
  })

  it('is refused outside the hard range, with what may have been meant', () => {
    const entry = read({ ph: '77' })
    expect(entry.state === 'held' && entry.errors.ph).toBe('pH 77 is outside 0 to 14. Did you mean 7.7?')
  })

  it('is refused in the reader’s units, not in the stored ones', () => {
    const entry = read({ tempC: '820' })
    expect(entry.state === 'held' && entry.errors.tempC).toBe(
      'Water temperature 820 is outside 28.4 to 140. Did you mean 82?',
    )
  })

  it('asks once about what is possible but rare', () => {
    const entry = read({ ph: '9.1' })
    expect(entry).toEqual({ state: 'held', errors: {}, unusual: [{ key: 'ph', words: 'pH 9.1' }] })
    expect(read({ ph: '9.1' }, { confirmed: ['ph'] }).state).toBe('ready')
  })

  it('names what is missing', () => {
    const entry = read({}, { person: ' ', at: 'x' })
    expect(entry.state === 'held' && entry.errors).toEqual({
      at: 'is not a time that the facility’s clock shows',
      person: 'must name the person',
      values: 'At least one value must be given.',
    })
  })

  it('does not take a test of the future', () => {
    const entry = read({ ph: '7.4' }, { at: '2026-11-26T06:00' })
    expect(entry.state === 'held' && entry.errors.at).toBe('lies in the future')
  })

  it('suspects swapped chlorines, allowing one step of the kit', () => {
    const entry = read({ freeChlorineMgL: '3', totalChlorineMgL: '2' })
    expect(entry.state === 'held' && entry.errors.totalChlorineMgL).toContain('swapped')
    expect(read({ freeChlorineMgL: '3', totalChlorineMgL: '2.8' }).state).toBe('ready')
  })

  it('asks for a reason when it corrects', () => {
    const entry = readDraft(draft({ ph: '7.4' }), ZONE, now, { reasonNeeded: true })
    expect(entry.state === 'held' && entry.errors.reason).toBe('must say why')
  })

  it('takes a limit itself in both units', () => {
    for (const [system, text] of [
      ['us', '140'],
      ['metric', '60'],
    ] as const)
      expect(readTexts({ tempC: text }, ['tempC'], system).errors).toEqual({})
  })
})

describe('a change of units while typing', () => {
  it('converts what was typed and touches nothing else', () => {
    const metric = inSystem(draft({ tempC: '82', ph: '7.4', totalAlkalinityMgL: 'x' }), 'metric')
    expect(metric.texts).toEqual({ tempC: '27.8', ph: '7.4', totalAlkalinityMgL: 'x' })
    expect(metric.system).toBe('metric')
  })
})

describe('a correction', () => {
  it('begins with what is stored, in the reader’s units', () => {
    const stored = {
      id: ID,
      bodyId: ID,
      at: '2026-11-25T10:00:00Z',
      person: 'A. Quill',
      method: 'photometer' as const,
      values: { tempC: 28, ph: 7.4 },
      displayPh: 7.5,
      displayOrpMv: null,
      note: 'windy',
      replacesId: null,
      reason: null,
      replacedAt: null,
      createdAt: '2026-11-25T10:01:00Z',
    }
    expect(draftOf(stored, 'new', ZONE, 'us', now)).toMatchObject({
      id: 'new',
      at: '2026-11-25T04:00',
      person: 'A. Quill',
      method: 'photometer',
      texts: { tempC: '82.4', ph: '7.4', displayPh: '7.5' },
      note: 'windy',
    })
  })
})

describe('the fields', () => {
  it('leave out the sanitizer that the body does not use', () => {
    const keys = (system: 'bromine' | 'hypochlorite') => fieldsFor(system, {}, 'us').tests.map(({ key }) => key)
    expect(keys('bromine')).not.toContain('freeChlorineMgL')
    expect(keys('hypochlorite')).not.toContain('bromineMgL')
  })

  it('hold the range in the reader’s units', () => {
    const { tests } = fieldsFor('hypochlorite', { tempC: { min: null, max: 40 } }, 'us')
    expect(tests.find(({ key }) => key === 'tempC')).toMatchObject({ unit: '°F', range: 'at most 104' })
  })
})

describe('what the API objects to', () => {
  const problem = (path: string) => ({
    type: '/problems/invalid',
    title: 'No',
    status: 400,
    requestId: '',
    fields: [{ path, message: 'no' }],
  })
  it.each([
    ['body.readings.2.values.ph', 2, 'ph'],
    ['readings.0.values.tempC', 0, 'tempC'],
    ['body.values.ph', 0, 'ph'],
    ['body.readings.1.values', 1, 'values'],
    ['body.reason', 0, 'reason'],
  ])('%s belongs to row %i, field %s', (path, row, key) => {
    expect(problemByRow(problem(path)).rows.get(row)).toEqual({ [key]: 'no' })
  })

  it('without a field is left for the whole form', () => {
    for (const path of ['', 'body', 'body.readings.0.bodyId', 'params.bodyId'])
      expect(problemByRow(problem(path))).toEqual({ rows: new Map(), rest: ['no'] })
  })
})
