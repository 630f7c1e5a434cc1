import { type ContactTime, contactTime, type IncidentReading } from '@sightglass/chemistry'
import { type Incident, type IncidentDetail, incidentClose, incidentCorrect, incidentOpen } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import {
  asOfNow,
  type CloseDraft,
  emptyClose,
  emptyReport,
  errorsOf,
  type ReportDraft,
  readClose,
  readCorrection,
  readReport,
  reportOf,
} from '../../../apps/web/screens/incident/form.ts'
import {
  instructionWords,
  prepareClosing,
  prepareSteps,
  prepareTests,
  prepareTimer,
  prepareVersions,
  reportWords,
  stateWords,
} from '../../../apps/web/screens/incident/prepare.ts'
import { CLOSE_KEYS, REPORT_KEYS } from '../../../apps/web/screens/incident/trouble.ts'

const ZONE = 'America/Chicago'
const AT = Date.parse('2026-11-25T12:00:00Z')
const MINUTE = 60_000
const ID = '0199b0c4-7a1e-7000-8000-000000000000'
const BODY_ID = '0199b0c4-7a1e-7000-8000-000000000001'
const NOW = AT + 600 * MINUTE

/** Numbers are tied to their units by spaces that do not break. */
const plain = (text: string | undefined) => text?.replaceAll('\u00a0', ' ')

const test = (minutes: number, freeChlorineMgL: number, given: Partial<IncidentReading> = {}): IncidentReading => ({
  atMs: AT + minutes * MINUTE,
  freeChlorineMgL,
  ph: 7.4,
  tempC: 27,
  ...given,
})
const contactOf = (readings: IncidentReading[], cyanuricAcidMgL = 0): ContactTime =>
  contactTime(
    { id: ID, kind: 'diarrhea', atMs: AT, instruction: null, readings },
    { sanitizerSystem: 'hypochlorite', stabilized: false, cyanuricAcid: { value: cyanuricAcidMgL, atMs: AT } },
    NOW,
  )
const incident = (given: Partial<Incident> = {}): Incident => ({
  id: ID,
  bodyId: BODY_ID,
  bodyName: 'Lap pool',
  facilityId: ID,
  facilityName: 'Tern House',
  timeZone: ZONE,
  kind: 'diarrhea',
  at: new Date(AT).toISOString(),
  person: 'Ines Calloway',
  reportedBy: 'Ines Calloway',
  note: '',
  instruction: null,
  createdAt: new Date(AT).toISOString(),
  contact: contactOf([]),
  closing: null,
  ...given,
})
const INSTRUCTION = { freeChlorineMgL: 12, holdMin: 90, phMax: 7.2, by: 'Harbor county' }

describe('the timer', () => {
  const timer = (contact: ContactTime, nowMs = NOW) => prepareTimer(contact, ZONE, 'us', nowMs)

  it('says that it has not started, and what a test must show', () => {
    expect(timer(contactOf([]))).toMatchObject({
      words: 'Not started',
      pct: 0,
      ct: 'CT 0 of 15,300 mg·min/L',
      toHold: 'Hold 20 ppm or more, pH 7.5 or lower, 77 °F or warmer.',
      lines: ['No test since the incident is entered.'],
    })
  })

  it('says as of which test, and when it can be complete at the earliest, on the facility’s clock', () => {
    expect(timer(contactOf([test(0, 20), test(300, 20)]))).toMatchObject({
      words: 'Running',
      pct: 39,
      ct: 'CT 6,000 of 15,300 mg·min/L',
      lines: [
        'As of the test of Nov 25, 11:00 am, 5 h ago; what came after it is not known and not counted.',
        'Complete at the earliest Nov 25, 6:45 pm, if the level holds; only a test then proves it.',
      ],
    })
  })

  it('asks for a test once it may be complete', () => {
    expect(timer(contactOf([test(0, 20), test(300, 20)]), AT + 800 * MINUTE).lines[1]).toBe(
      'If the level held, it is complete since Nov 25, 6:45 pm: test now.',
    )
  })

  it('never rounds up to all of it', () => {
    const almost = timer(contactOf([test(-0, 25.5), test(599.9, 25.5)]))
    expect([almost.pct, almost.words, almost.ct]).toEqual([99, 'Running', 'CT 15,297 of 15,300 mg·min/L'])
  })

  it('says that it stands still, and that it is reached, and when', () => {
    expect(timer(contactOf([test(0, 20), test(60, 20), test(90, 3)]))).toMatchObject({ words: 'Stands still', pct: 7 })
    expect(timer(contactOf([test(0, 30), test(520, 30)]))).toMatchObject({
      words: 'Reached',
      pct: 100,
      lines: ['Reached Nov 25, 2:30 pm.'],
    })
  })

  it('without a level to hold says why, and shows no share', () => {
    expect(timer(contactOf([test(0, 20)], 80))).toMatchObject({
      words: 'No time to hold',
      pct: null,
      ct: '',
      toHold: '',
    })
    expect(plain(timer(contactOf([], 80)).lines.join(' '))).toMatch(/80 ppm is over the 50 ppm/)
  })

  it('is in the reader’s units', () => {
    expect(prepareTimer(contactOf([]), ZONE, 'metric', NOW).toHold).toBe(
      'Hold 20 mg/L or more, pH 7.5 or lower, 25.0 °C or warmer.',
    )
  })
})

describe('tests and steps', () => {
  it('stand newest first, each with what it adds or why it adds nothing', () => {
    const rows = prepareTests(contactOf([test(0, 20), test(60, 19, { ph: null }), test(120, 20.5)]), ZONE, 'us', NOW)
    expect(rows.map(({ at, counts, ct, why }) => [at, counts, ct, plain(why)])).toEqual([
      ['Nov 25, 8:00 am', true, '0', ''],
      [
        'Nov 25, 7:00 am',
        false,
        '0',
        'Free chlorine 19 ppm is under the 20 ppm to be held. pH was not tested with it.',
      ],
      ['Nov 25, 6:00 am', true, '0', ''],
    ])
    expect(rows[1]?.cells.map(({ value }) => value)).toEqual(['19 ppm', '', '81 °F'])
  })

  it('without a level to hold say that there is none', () => {
    expect(prepareTests(contactOf([test(0, 20)], 80), ZONE, 'us', NOW)[0]?.why).toMatch(/no level to hold/)
  })

  it('steps say whose they are, common practice too', () => {
    const say = (text: string) => ({ text, quantities: [] })
    const steps = [
      { key: 'a', text: say('Do this.'), notes: [say('With care.')], state: 'now' as const, citation: 'CDC (2001)' },
      { key: 'b', text: say('Do that.'), notes: [], state: 'later' as const, citation: null },
    ]
    expect(prepareSteps(steps, 'us')).toEqual([
      { key: 'a', state: 'now', text: 'Do this.', notes: ['With care.'], whose: 'CDC (2001)' },
      { key: 'b', state: 'later', text: 'Do that.', notes: [], whose: 'Common practice, no source.' },
    ])
  })
})

describe('an incident in words', () => {
  it('when, by whom, and who corrected it', () => {
    expect(reportWords(incident(), NOW)).toBe('Happened Nov 25, 6:00 am, 10 h ago. Reported by Ines Calloway.')
    expect(reportWords(incident({ person: 'Bram Oduya' }), NOW)).toMatch(/Last corrected by Bram Oduya\.$/)
  })

  it('how it stands, in a list', () => {
    expect(stateWords(incident(), NOW)).toBe('Open. Not started, 0 %')
    expect(stateWords(incident({ contact: contactOf([], 80) }), NOW)).toBe('Open. No time to hold')
    expect(stateWords(incident({ contact: null }), NOW)).toBe('Open; the body is retired')
    expect(stateWords(closedIncident(null), NOW)).toBe('Closed Nov 25, 3:00 pm by Bram Oduya')
    expect(stateWords(closedIncident(EXCEPTION), NOW)).toMatch(/, allowed by Harbor county$/)
  })

  it('how it was closed; an exception is told first of all', () => {
    expect(prepareClosing(incident(), NOW)).toBeNull()
    expect(prepareClosing(closedIncident(null), NOW)).toMatchObject({ exception: '', note: 'all clear' })
    expect(prepareClosing(closedIncident(EXCEPTION), NOW)?.exception).toBe(
      'The contact time was not proved. Harbor county allowed it: drained',
    )
  })

  it('what an authority asked for', () => {
    expect(instructionWords(incident(), 'us')).toBe('')
    expect(instructionWords({ instruction: INSTRUCTION }, 'us')).toBe(
      'Harbor county asked for 12 ppm for 90 min, pH 7.2 or lower, in place of what is published.',
    )
  })

  it('its versions only when there is more than one', () => {
    const version = { id: ID, kind: 'vomit' as const, at: incident().at, person: 'A', note: 'n', instruction: null }
    const first = { ...version, reason: null, replacedAt: incident().at, createdAt: incident().at }
    const second = {
      ...version,
      kind: 'diarrhea' as const,
      reason: 'loose',
      replacedAt: null,
      createdAt: incident().at,
    }
    const detail = (versions: IncidentDetail['versions']) =>
      ({ ...incident(), versions, steps: [], obstacles: [], basis: [] }) satisfies IncidentDetail
    expect(prepareVersions(detail([first]), 'us', NOW)).toEqual([])
    expect(prepareVersions(detail([second, first]), 'us', NOW)).toMatchObject([
      { what: 'Diarrhea, Nov 25, 6:00 am', who: 'A, Nov 25, 6:00 am: loose', replaced: false },
      { what: 'Vomit, Nov 25, 6:00 am', replaced: true },
    ])
  })
})

const EXCEPTION = { authority: 'Harbor county', reason: 'drained' }
const closedIncident = (exception: typeof EXCEPTION | null) =>
  incident({
    closing: {
      at: new Date(AT + 540 * MINUTE).toISOString(),
      person: 'Bram Oduya',
      checks: ['filterCleaned'],
      note: 'all clear',
      exception,
      contact: contactOf([]),
      basis: [],
    },
  })

describe('what is typed of an incident', () => {
  const draft = (given: Partial<ReportDraft> = {}): ReportDraft => ({
    ...asOfNow<ReportDraft>(emptyReport(ID), AT, ZONE, ' Ines Calloway '),
    kind: 'vomit',
    ...given,
  })
  const errors = (given: Partial<ReportDraft>) => {
    const read = readReport(draft(given), ZONE, NOW)
    return read.state === 'held' ? read.errors : {}
  }

  it('becomes what the API takes', () => {
    const read = readReport(draft({ note: ' by the steps ' }), ZONE, NOW)
    expect(read).toEqual({
      state: 'ready',
      report: {
        id: ID,
        kind: 'vomit',
        at: '2026-11-25T12:00:00.000Z',
        person: 'Ines Calloway',
        note: 'by the steps',
        instruction: null,
      },
    })
    if (read.state === 'ready') expect(incidentOpen.safeParse({ ...read.report, bodyId: BODY_ID }).success).toBe(true)
  })

  it.each<[string, Partial<ReportDraft>, object]>([
    ['no kind', { kind: '' }, { kind: 'must be chosen' }],
    ['nobody', { person: ' ' }, { person: 'must name the person' }],
    ['no time', { at: '' }, { at: 'is not a time that the facility’s clock shows' }],
    ['the future', { at: '2026-11-26T12:00' }, { at: 'lies in the future' }],
    [
      'an instruction without anything',
      { instructed: true },
      { level: 'must be given', hold: 'must be given', by: 'must name the authority' },
    ],
    [
      'numbers that are none',
      { instructed: true, level: 'much', hold: 'long', phMax: 'low', by: 'County' },
      { level: '“much” is not a number', hold: '“long” is not a number', phMax: '“low” is not a number' },
    ],
  ])('%s is held back', (_what, given, expected) => expect(errors(given)).toEqual(expected))

  it('with an instruction carries it, without a pH as published', () => {
    const read = readReport(draft({ instructed: true, level: '12', hold: '90', by: ' County ' }), ZONE, NOW)
    expect(read).toMatchObject({
      report: { instruction: { freeChlorineMgL: 12, holdMin: 90, phMax: null, by: 'County' } },
    })
    // unticked again, what was typed is not sent
    expect(readReport(draft({ level: '12' }), ZONE, NOW)).toMatchObject({ report: { instruction: null } })
  })

  it('kept from an earlier visit has the time of now, unless one was typed', () => {
    const kept = { ...emptyReport(ID), kind: 'vomit' as const }
    expect(asOfNow<ReportDraft>(kept, NOW, ZONE, 'Ines Calloway')).toMatchObject({
      at: '2026-11-25T16:00',
      person: 'Ines Calloway',
    })
    const typed = { ...kept, at: '2026-11-25T06:00', person: '' }
    expect(asOfNow<ReportDraft>(typed, NOW, ZONE, 'Ines Calloway')).toMatchObject({
      at: '2026-11-25T06:00',
      person: '',
    })
  })

  it('a correction starts from what is stored, and asks why', () => {
    const stored = reportOf(incident({ instruction: INSTRUCTION, note: 'n' }), BODY_ID, 'Bram Oduya')
    expect(stored).toMatchObject({
      id: BODY_ID,
      kind: 'diarrhea',
      at: '2026-11-25T06:00',
      person: 'Bram Oduya',
      instructed: true,
      level: '12',
      hold: '90',
      phMax: '7.2',
    })
    expect(readCorrection(stored, ZONE, NOW)).toEqual({ state: 'held', errors: { reason: 'must say why' } })
    const read = readCorrection({ ...stored, reason: 'seen again' }, ZONE, NOW)
    expect(read).toMatchObject({ state: 'ready', report: { instruction: INSTRUCTION, reason: 'seen again' } })
    if (read.state === 'ready') expect(incidentCorrect.safeParse(read.report).success).toBe(true)
  })
})

describe('what is typed to close one', () => {
  const CHECKS: CloseDraft['checks'] = [
    'materialRemoved',
    'levelEverywhere',
    'filterCleaned',
    'freeChlorineInRange',
    'phInRange',
  ]
  const draft = (given: Partial<CloseDraft> = {}): CloseDraft => ({
    ...asOfNow<CloseDraft>(emptyClose(), NOW, ZONE, 'Bram Oduya'),
    checks: CHECKS,
    ...given,
  })
  const errors = (given: Partial<CloseDraft>, reached: boolean) => {
    const read = readClose(draft(given), reached, ZONE, NOW)
    return read.state === 'held' ? Object.keys(read.errors).sort() : []
  }

  it('becomes what the API takes', () => {
    const read = readClose(draft(), true, ZONE, NOW)
    expect(read).toMatchObject({ state: 'ready', closing: { checks: CHECKS, exception: null, person: 'Bram Oduya' } })
    if (read.state === 'ready') expect(incidentClose.safeParse(read.closing).success).toBe(true)
  })

  it('asks for each check, who and when; for an authority and its reason only without the contact time', () => {
    expect(errors({ checks: CHECKS.slice(1) }, true)).toEqual(['checks'])
    expect(errors({ person: '', at: '2030-01-01T00:00' }, true)).toEqual(['at', 'person'])
    expect(errors({}, false)).toEqual(['authority', 'reason'])
    expect(errors({ authority: 'County', reason: 'drained' }, false)).toEqual([])
  })
})

describe('the API’s complaints', () => {
  const problem = (...fields: [string, string][]) => ({
    type: '/problems/invalid',
    title: 'x',
    status: 400,
    requestId: '',
    fields: fields.map(([path, message]) => ({ path, message })),
  })

  it('stand at the fields that they speak of', () => {
    expect(
      errorsOf(
        problem(['body.instruction.freeChlorineMgL', 'much'], ['body.kind', 'none'], ['body.id', 'taken']),
        REPORT_KEYS,
      ),
    ).toEqual({ errors: { level: 'much', kind: 'none' }, rest: ['taken'] })
    expect(errorsOf(problem(['body.checks', 'all'], ['body.exception.authority', 'who']), CLOSE_KEYS)).toEqual({
      errors: { checks: 'all', authority: 'who' },
      rest: [],
    })
    expect(errorsOf(problem(['body.exception', 'how far']), CLOSE_KEYS)).toEqual({ errors: {}, rest: ['how far'] })
  })
})
