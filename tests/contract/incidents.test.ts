// What a report, a correction and a closing may say; messages name what is wrong and how to mend it.
import { INCIDENT_KINDS, REOPENING_CHECKS } from '@sightglass/chemistry'
import { incidentClose, incidentCorrect, incidentOpen, incidentsQuery } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'

const ID = '0199b0c4-7a1e-7000-8000-000000000000'
const AT = '2026-11-25T06:00:00-06:00'
const report = { id: ID, bodyId: ID, kind: 'diarrhea', at: AT, person: ' Ines Calloway ' }
const instruction = { freeChlorineMgL: 20, holdMin: 765, phMax: null, by: ' Harbor county ' }
const closing = { at: AT, person: 'Bram Oduya', checks: [...REOPENING_CHECKS] }
const messages = (schema: typeof incidentOpen | typeof incidentCorrect | typeof incidentClose, given: object) =>
  schema.safeParse(given).error?.issues.map(({ path, message }) => `${path.join('.')}: ${message}`)

describe('a report', () => {
  it('takes each kind, trims what people typed, and needs neither note nor instruction', () => {
    for (const kind of INCIDENT_KINDS)
      expect(incidentOpen.parse({ ...report, kind })).toMatchObject({ kind, person: 'Ines Calloway' })
    expect(incidentOpen.parse({ ...report, instruction }).instruction?.by).toBe('Harbor county')
    expect(incidentOpen.parse({ ...report, instruction: null, note: ' x ' })).toMatchObject({
      instruction: null,
      note: 'x',
    })
  })

  it.each([
    [{ kind: 'blood' }, 'kind: is not one of formedStool, diarrhea, vomit'],
    [{ person: '  ' }, 'person: must name the person'],
    [{ at: '2026-11-25' }, 'at: is not a time (write it as 2026-11-25T06:00:00Z)'],
    [{ note: 'x'.repeat(2001) }, 'note: is longer than 2,000 characters'],
    [
      { instruction: { ...instruction, freeChlorineMgL: 0.5 } },
      'instruction.freeChlorineMgL: must be at least 1 mg/L of free chlorine',
    ],
    [
      { instruction: { ...instruction, freeChlorineMgL: 201 } },
      'instruction.freeChlorineMgL: must be at most 200 mg/L of free chlorine',
    ],
    [{ instruction: { ...instruction, holdMin: 0 } }, 'instruction.holdMin: must be at least 1 minute'],
    [
      { instruction: { ...instruction, holdMin: 10_081 } },
      'instruction.holdMin: must be at most a week (10,080 minutes)',
    ],
    [{ instruction: { ...instruction, holdMin: '60' } }, 'instruction.holdMin: the time must be a number of minutes'],
    [{ instruction: { ...instruction, phMax: 7.6 } }, 'instruction.phMax: must be pH 6 to 7.5'],
    [{ instruction: { ...instruction, phMax: 5.9 } }, 'instruction.phMax: must be pH 6 to 7.5'],
    [{ instruction: { ...instruction, by: '' } }, 'instruction.by: must name the authority'],
  ])('with %j is refused: %s', (given, message) => {
    expect(messages(incidentOpen, { ...report, ...given })).toEqual([message])
  })
})

describe('a correction', () => {
  const { bodyId: _, ...said } = report
  it('says why', () => {
    expect(incidentCorrect.safeParse({ ...said, reason: 'it was loose' }).success).toBe(true)
    expect(messages(incidentCorrect, said)).toEqual(['reason: must be given'])
    expect(messages(incidentCorrect, { ...said, reason: ' ' })).toEqual(['reason: must say why'])
  })

  it('leaves nothing out: it is no change of single fields', () => {
    expect(messages(incidentCorrect, { id: ID, reason: 'because' })).toEqual([
      'kind: must be given',
      'at: is not a time (write it as 2026-11-25T06:00:00Z)',
      'person: must be given',
    ])
  })
})

describe('a closing', () => {
  it('needs no exception, or a whole one', () => {
    expect(incidentClose.safeParse(closing).success).toBe(true)
    expect(incidentClose.safeParse({ ...closing, exception: null }).success).toBe(true)
    expect(messages(incidentClose, { ...closing, exception: { authority: ' ', reason: '' } })).toEqual([
      'exception.authority: must name who allows it',
      'exception.reason: must say why the contact time need not be reached',
    ])
  })

  it('knows no other checks than those of the list', () => {
    expect(messages(incidentClose, { ...closing, checks: ['swept'] })?.[0]).toMatch(
      /^checks\.0: is not one of materialRemoved/,
    )
  })
})

it('a list can be narrowed to open or closed ones', () => {
  expect(incidentsQuery.parse({ open: 'true' })).toMatchObject({ open: true, limit: 100, offset: 0 })
  expect(incidentsQuery.parse({ open: 'false', bodyId: ID })).toMatchObject({ open: false, bodyId: ID })
  expect(incidentsQuery.safeParse({ open: 'yes' }).success).toBe(false)
})
