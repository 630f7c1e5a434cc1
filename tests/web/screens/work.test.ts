import { WORK_KINDS, type Work } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import {
  askedSetPoint,
  draftOf,
  emptyWork,
  errorsOf,
  readWork,
  type WorkDraft,
  withSetPoint,
} from '../../../apps/web/screens/work/form.ts'
import { versionText, WORK_GROUPS, WORK_WORDS, workLine, workText } from '../../../apps/web/screens/work/words.ts'

const ZONE = 'America/Chicago'
const now = Date.parse('2026-11-25T12:00:00Z')
const ID = '0199b0c4-7a1e-7000-8000-000000000001'
const OTHER = '0199b0c4-7a1e-7000-8000-000000000002'
const draft = (part: Partial<WorkDraft>): WorkDraft => ({ ...emptyWork(now, ZONE, 'D. Fenn'), ...part })
const read = (part: Partial<WorkDraft>, options = {}) => readWork(draft(part), ZONE, now, options)
const work: Work = {
  id: ID,
  bodyId: OTHER,
  kind: 'orpSetPointMoved',
  at: '2026-11-25T11:40:00.000Z',
  person: 'Rui Okafor',
  feederId: null,
  feederName: null,
  orpSetPointMv: 710,
  phSetPoint: null,
  slopePct: null,
  note: 'low at the kit',
  done: true,
  replacesId: null,
  reason: null,
  replacedAt: null,
  createdAt: '2026-11-25T11:45:00.000Z',
}

describe('work as it is chosen', () => {
  it('takes a set point that was just moved along, whatever was typed before, and asks again when it is unusual', () => {
    const typed = draft({
      chosen: { strainerCleaned: OTHER },
      texts: { orpSetPointMv: '690' },
      confirmed: ['orpSetPointMv'],
    })
    const moved = withSetPoint(typed, '744', ID)
    expect(moved.chosen).toEqual({ strainerCleaned: OTHER, orpSetPointMoved: ID })
    expect(moved.texts.orpSetPointMv).toBe('744')
    expect(moved.confirmed).toEqual([])
    expect(withSetPoint(moved, '750', OTHER).chosen.orpSetPointMoved).toBe(ID)
  })

  it('becomes one entry for each kind, each with what belongs to it', () => {
    const entry = read({
      chosen: { orpSetPointMoved: ID, feederServiced: OTHER },
      texts: { orpSetPointMv: '710', feederId: 'some-feeder', slopePct: '90' },
      note: ' new tube ',
    })
    expect(entry).toMatchObject({
      state: 'ready',
      work: [
        { id: OTHER, kind: 'feederServiced', feederId: 'some-feeder', orpSetPointMv: null, slopePct: null },
        { id: ID, kind: 'orpSetPointMoved', orpSetPointMv: 710, feederId: null, note: 'new tube' },
      ],
    })
    expect(entry.state === 'ready' && entry.work[0]).toMatchObject({
      at: '2026-11-25T12:00:00.000Z',
      person: 'D. Fenn',
    })
  })

  it('leaves out what belongs to a kind that is not chosen any more', () => {
    const entry = read({ chosen: { strainerCleaned: ID }, texts: { orpSetPointMv: 'abc', slopePct: '500' } })
    expect(entry).toMatchObject({ state: 'ready', work: [{ orpSetPointMv: null, slopePct: null }] })
  })

  it.each([
    ['nothing chosen', { chosen: {} }, { chosen: 'Choose what was done.' }],
    ['no set point', { chosen: { phSetPointMoved: ID } }, { phSetPoint: 'must say what it was set to' }],
    [
      'a slipped zero',
      { chosen: { orpSetPointMoved: ID }, texts: { orpSetPointMv: '7100' } },
      { orpSetPointMv: expect.stringContaining('Did you mean 710?') },
    ],
    [
      'a set point that is no slip',
      { chosen: { orpSetPointMoved: ID }, texts: { orpSetPointMv: '99999' } },
      { orpSetPointMv: 'ORP set point 99999 is outside 0 to 1300.' },
    ],
    [
      'words for a number',
      { chosen: { phCalibrated: ID }, texts: { slopePct: 'good' } },
      { slopePct: '“good” is not a number' },
    ],
    ['nobody', { chosen: { strainerCleaned: ID }, person: ' ' }, { person: 'must name the person' }],
    ['tomorrow', { chosen: { strainerCleaned: ID }, at: '2026-11-26T06:00' }, { at: 'lies in the future' }],
    [
      'an hour that no clock shows',
      { chosen: { strainerCleaned: ID }, at: '2026-03-08T02:30' },
      { at: 'is not a time that the facility’s clock shows' },
    ],
  ])('is held with %s', (_what, part, errors) => {
    expect(read(part)).toEqual({ state: 'held', errors, unusual: [] })
  })

  it.each([
    ['715', '715'],
    ['715.5', '715.5'],
    ['abc', ''],
    ['', ''],
    ['7150', ''],
    ['-20', ''],
  ])('takes “%s” of an address as the set point “%s”', (asked, taken) => {
    expect(askedSetPoint(asked)).toBe(taken)
  })

  it('asks once about a set point that is possible but rare', () => {
    const odd = { chosen: { orpSetPointMoved: ID }, texts: { orpSetPointMv: '410' } }
    expect(read(odd)).toMatchObject({ state: 'held', errors: {}, unusual: [{ key: 'orpSetPointMv' }] })
    expect(read({ ...odd, confirmed: ['orpSetPointMv'] })).toMatchObject({
      state: 'ready',
      work: [{ orpSetPointMv: 410, confirmed: ['orpSetPointMv'] }],
    })
  })

  it('is corrected with a reason, beginning with what is stored', () => {
    const begun = draftOf(work, OTHER, ZONE)
    expect(begun).toMatchObject({ at: '2026-11-25T05:40', person: 'Rui Okafor', texts: { orpSetPointMv: '710' } })
    expect(readWork(begun, ZONE, now, { reasonNeeded: true })).toMatchObject({ errors: { reason: 'must say why' } })
    expect(readWork({ ...begun, reason: 'typed wrong' }, ZONE, now, { reasonNeeded: true })).toMatchObject({
      state: 'ready',
      work: [{ id: OTHER, kind: 'orpSetPointMoved', orpSetPointMv: 710, note: 'low at the kit' }],
    })
  })

  it('shows each complaint of the API at its field, and what has none at the end', () => {
    const problem = { type: '/problems/invalid', title: '', status: 400, requestId: '' }
    const fields = [
      { path: 'body.work.1.orpSetPointMv', message: 'is odd' },
      { path: 'body.work.0.bodyId', message: 'is retired' },
    ]
    expect(errorsOf({ ...problem, fields })).toEqual({ errors: { orpSetPointMv: 'is odd' }, rest: ['is retired'] })
    expect(errorsOf(problem)).toEqual({ errors: {}, rest: [] })
  })
})

describe('words of work', () => {
  it('has every kind in a group, once', () => {
    expect(WORK_GROUPS.flatMap(({ kinds }) => kinds).sort()).toEqual([...WORK_KINDS].sort())
    expect(new Set(Object.values(WORK_WORDS)).size).toBe(WORK_KINDS.length)
  })

  it('say what was set, what was served and what a calibration found', () => {
    const plain = { ...work, orpSetPointMv: null }
    expect(workText(work)).toBe('ORP set point moved to 710 mV')
    expect(workText({ ...plain, kind: 'phSetPointMoved', phSetPoint: 7.45 })).toBe('pH set point moved to 7.45')
    expect(workText({ ...plain, kind: 'phCalibrated', slopePct: 93.5 })).toBe('pH probe calibrated, slope 93.5 %')
    expect(workText({ ...plain, kind: 'feederServiced', feederName: 'Acid pump' })).toBe('Feeder serviced: Acid pump')
    expect(workText({ ...plain, kind: 'strainerCleaned' })).toBe('Strainer cleaned')
  })

  it('tell who, when and why it was corrected', () => {
    const corrected = { ...work, reason: 'typed wrong', replacedAt: '2026-11-25T12:00:00.000Z' }
    expect(workLine(corrected, ZONE, now)).toMatchObject({
      at: 'Nov 25, 5:40 am',
      who: 'Rui Okafor',
      corrected: 'Corrected: typed wrong',
      correctHref: `/bodies/${OTHER}/work/${ID}/correct`,
    })
    expect(versionText(corrected, ZONE, now)).toBe(
      'Rui Okafor; entered Nov 25, 5:45 am, replaced Nov 25, 6:00 am; typed wrong',
    )
  })
})
