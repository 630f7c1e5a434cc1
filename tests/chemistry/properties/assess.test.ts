import {
  assess,
  assessWater,
  compareFindings,
  DRUM_CONTENTS,
  FEEDER_KINDS,
  FEEDER_ROLES,
  FINDING_KINDS,
  type Finding,
  INCIDENT_KINDS,
  isOfEquipment,
  outOfUseNow,
  PARAMETERS,
  type Phrase,
  PROFILES,
  QUANTITIES,
  renderPhrase,
  SANITIZER_SYSTEMS,
  SETTINGS,
  type Snapshot,
  severityRank,
  standingOf,
  USE_CLASSES,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DAY, HOUR, NOW, profile } from '../support.ts'

const maybe = <Value>(value: fc.Arbitrary<Value>) => fc.option(value, { nil: null, freq: 3 })
const real = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const past = fc.integer({ min: NOW - 60 * DAY, max: NOW + 2 * HOUR })

const spread = (min: number, max: number) =>
  fc.tuple(real(min, max), real(min, max), real(min, max)).map((values) => {
    const [low, mean, high] = values.sort((a, b) => a - b) as [number, number, number]
    return { min: low, mean, max: high }
  })
const minutes = maybe(real(0, 60))

const hour = fc.record({
  hourMs: fc.integer({ min: 0, max: 30 }).map((ago) => NOW - ago * HOUR),
  samples: fc.integer({ min: 0, max: 60 }),
  coveredMin: real(0, 60),
  ph: maybe(spread(0, 14)),
  orpMv: maybe(spread(-1000, 1300)),
  freeChlorineMgL: maybe(spread(0, 200)),
  tempC: maybe(spread(-2, 60)),
  flowLMin: maybe(spread(0, 20_000)),
  phSetPoint: maybe(real(6.8, 8)),
  orpSetPointMv: maybe(real(500, 900)),
  sanitizerFeedMin: minutes,
  backupFeedMin: minutes,
  phFeedMin: minutes,
  noFlowMin: minutes,
  feedWithoutFlowMin: minutes,
  bothFeedsMin: minutes,
})

const latest = fc.record({
  atMs: past,
  ph: maybe(real(0, 14)),
  orpMv: maybe(real(-1000, 1300)),
  freeChlorineMgL: maybe(real(0, 200)),
  tempC: maybe(real(-2, 60)),
  flowLMin: maybe(real(0, 20_000)),
  flowOn: maybe(fc.boolean()),
  sanitizerFeedPct: maybe(real(0, 100)),
  backupFeedPct: maybe(real(0, 100)),
  phFeedPct: maybe(real(0, 100)),
  phSetPoint: maybe(real(6.8, 8)),
  orpSetPointMv: maybe(real(500, 900)),
})

// the hard ranges of what can be stored
const RANGE: Record<(typeof PARAMETERS)[number], readonly [number, number]> = {
  freeChlorineMgL: [0, 200],
  totalChlorineMgL: [0, 200],
  bromineMgL: [0, 200],
  ph: [0, 14],
  totalAlkalinityMgL: [0, 2000],
  calciumHardnessMgL: [0, 5000],
  cyanuricAcidMgL: [0, 1000],
  tempC: [-2, 60],
  tdsMgL: [0, 100_000],
  saltMgL: [0, 100_000],
}
const tests = fc.record(
  Object.fromEntries(PARAMETERS.map((key) => [key, fc.record({ value: real(...RANGE[key]), atMs: past })])),
  { requiredKeys: [] },
) as fc.Arbitrary<Snapshot['tests']>

const level = fc.record({ atMs: past, levelL: real(0, 400), deliveredL: real(0, 400) })
const drum = fc.record({
  id: fc.constantFrom('a', 'b', 'c'),
  name: fc.constant('Drum'),
  content: fc.constantFrom(...DRUM_CONTENTS),
  capacityL: real(1, 400),
  levels: fc.array(level, { maxLength: 10 }).map((levels) => levels.sort((a, b) => a.atMs - b.atMs)),
})
const feeder = fc.record({
  id: fc.uuid(),
  name: fc.constant('Feeder'),
  role: fc.constantFrom(...FEEDER_ROLES),
  kind: fc.constantFrom(...FEEDER_KINDS),
  drum: maybe(drum),
})

const incidentReading = fc.record({
  atMs: past,
  freeChlorineMgL: real(0, 200),
  ph: maybe(real(0, 14)),
  tempC: maybe(real(-2, 60)),
})
const incident = fc.record({
  id: fc.uuid(),
  kind: fc.constantFrom(...INCIDENT_KINDS),
  atMs: past,
  instruction: maybe(
    fc.record({
      freeChlorineMgL: real(0.1, 100),
      holdMin: real(1, 5000),
      phMax: maybe(real(5, 9)),
      by: fc.constant('Health department'),
    }),
  ),
  readings: fc.array(incidentReading, { maxLength: 6 }).map((readings) => readings.sort((a, b) => a.atMs - b.atMs)),
})

const around = fc.integer({ min: NOW - 3 * DAY, max: NOW + 3 * DAY })

const snapshots: fc.Arbitrary<Snapshot> = fc.record({
  body: fc.record({
    useClass: fc.constantFrom(...USE_CLASSES),
    setting: fc.constantFrom(...SETTINGS),
    sanitizerSystem: fc.constantFrom(...SANITIZER_SYSTEMS),
    cyanuricAcidUsed: fc.boolean(),
    volumeL: maybe(real(1000, 4e6)),
    flowLMin: maybe(real(10, 20_000)),
  }),
  tests,
  lastTestAtMs: maybe(past),
  controller: maybe(
    fc.record({
      channels: fc.subarray([...QUANTITIES]),
      lastHeardAtMs: maybe(past),
      latest: maybe(latest),
      hours: fc.array(hour, { maxLength: 26 }).map((hours) => hours.sort((a, b) => a.hourMs - b.hourMs)),
    }),
  ),
  feeders: fc.array(feeder, { maxLength: 4 }),
  incidents: fc.array(incident, { maxLength: 2 }),
  outOfUse: fc.option(fc.record({ fromMs: around, toMs: maybe(around), reason: fc.constant('Winter') }), { freq: 8 }),
})
// told by key, so that a failing case prints a page and not a book
const profiles = fc.constantFrom(...PROFILES.map(({ key }) => key))
const judge = (snapshot: Snapshot, key: string, at = NOW) => assess(snapshot, profile(key), at)

const phrasesOf = ({ sentence, advice }: Finding): Phrase[] => [sentence, ...advice]

/** What rests on nothing that was measured. */
const WITHOUT_NUMBERS: readonly string[] = [
  'neverTested',
  'testOverdue',
  'controllerSilent',
  'cyanuricAcidNotAllowed',
  'incidentOpen',
  'noFlow',
]

function everyNumberIsFinite(value: unknown, path = ''): void {
  if (typeof value === 'number') expect(Number.isFinite(value), `${path} is ${value}`).toBe(true)
  if (value && typeof value === 'object') {
    for (const [key, inner] of Object.entries(value)) everyNumberIsFinite(inner, `${path}.${key}`)
  }
}

describe('over everything that can be stored, and missing everything', { timeout: 60_000 }, () => {
  it('no number is NaN or infinite, no placeholder is left open, and every finding is whole', () => {
    fc.assert(
      fc.property(snapshots, profiles, (snapshot, key) => {
        const assessment = judge(snapshot, key)
        everyNumberIsFinite(assessment)
        for (const finding of assessment.findings) {
          expect(finding.family).toBe(FINDING_KINDS[finding.kind])
          expect(finding.advice.length).toBeGreaterThan(0)
          expect(finding.cautions, finding.kind).toContain('localCodeFirst')
          if (!WITHOUT_NUMBERS.includes(finding.kind)) expect(finding.evidence.length, finding.kind).toBeGreaterThan(0)
          if (finding.limit)
            expect(finding.limit, finding.kind).toMatchObject({
              side: expect.stringMatching(/^(min|max)$/),
              value: expect.any(Number),
              unit: expect.any(String),
              citation: { authority: expect.stringMatching(/^(law|practice|company)$/) },
            })
          for (const phrase of phrasesOf(finding)) {
            for (const units of ['us', 'metric'] as const) {
              expect(renderPhrase(phrase, units)).not.toMatch(/[{}]|undefined|NaN|Infinity/)
            }
          }
        }
      }),
      { numRuns: 1500 },
    )
  })

  it('no two findings share kind and subject', () => {
    fc.assert(
      fc.property(snapshots, profiles, (snapshot, key) => {
        const names = judge(snapshot, key).findings.map(({ kind, subject }) => `${kind} ${subject}`)
        expect(new Set(names).size).toBe(names.length)
      }),
    )
  })

  it('nothing untested, unheard or old is fine', () => {
    fc.assert(
      fc.property(snapshots, profiles, (snapshot, key) => {
        const { severity } = judge(snapshot, key).standing
        const recent = (at: number | undefined) => at !== undefined && at > NOW - 36 * HOUR
        const sanitizer = snapshot.body.sanitizerSystem === 'bromine' ? 'bromineMgL' : 'freeChlorineMgL'
        const tested = recent(snapshot.tests[sanitizer]?.atMs) && recent(snapshot.tests.ph?.atMs)
        if (!tested || snapshot.lastTestAtMs === null) expect(severity).not.toBe('fine')
        const heard = snapshot.controller?.latest && snapshot.controller.latest.atMs >= NOW - 2 * HOUR
        if (!tested && !heard) expect(severity).not.toBe('watch')
      }),
      { numRuns: 1000 },
    )
  })

  it('findings come worst first, and the standing is that of the worst', () => {
    fc.assert(
      fc.property(snapshots, profiles, (snapshot, key) => {
        const { findings, standing } = judge(snapshot, key)
        expect([...findings].sort(compareFindings)).toEqual(findings)
        const quiet = outOfUseNow(snapshot, NOW) ? 'outOfUse' : 'fine'
        expect(standing.severity).toBe(findings[0]?.severity ?? quiet)
      }),
    )
  })

  it('is pure: the same answer twice, and the snapshot untouched', () => {
    fc.assert(
      fc.property(snapshots, profiles, (snapshot, key) => {
        const before = structuredClone(snapshot)
        expect(judge(snapshot, key)).toEqual(judge(snapshot, key))
        expect(snapshot).toEqual(before)
      }),
      { numRuns: 200 },
    )
  })

  it('is the same with the equipment’s findings taken from before, as a browser has them', () => {
    fc.assert(
      fc.property(snapshots, profiles, (snapshot, key) => {
        const { findings, standing } = judge(snapshot, key)
        const equipment = findings.filter(({ kind }) => isOfEquipment(kind))
        const again = assessWater(snapshot, profile(key), NOW, equipment)
        expect({ findings: again.findings, standing: again.standing }).toEqual({ findings, standing })
      }),
    )
  })

  it('until the time it told, time alone changes no severity, kind or subject', () => {
    const judgement = (snapshot: Snapshot, key: string, at: number) =>
      judge(snapshot, key, at).findings.map(({ kind, subject, severity, sentence }) => ({
        kind,
        subject,
        severity,
        text: sentence.text,
      }))
    fc.assert(
      fc.property(snapshots, profiles, real(0, 1), (snapshot, key, share) => {
        const { dueAtMs } = judge(snapshot, key)
        if (dueAtMs !== null) expect(dueAtMs).toBeGreaterThan(NOW)
        const until = dueAtMs ?? NOW + 3 * DAY
        const at = Math.floor(NOW + share * (until - 1 - NOW))
        expect(judgement(snapshot, key, at)).toEqual(judgement(snapshot, key, NOW))
      }),
      { numRuns: 1500 },
    )
  })
})

describe('the score', { timeout: 60_000 }, () => {
  const finding = fc
    .record({
      kind: fc.constantFrom(...(Object.keys(FINDING_KINDS) as Finding['kind'][])),
      severity: fc.constantFrom('close', 'act', 'unheard', 'watch'),
    })
    .map(
      ({ kind, severity }): Finding => ({
        kind,
        subject: '',
        family: FINDING_KINDS[kind],
        severity: severity as Finding['severity'],
        sentence: { text: '', quantities: [] },
        value: null,
        limit: null,
        sinceMs: NOW,
        evidence: [],
        advice: [],
        cautions: [],
      }),
    )
  const findings = fc.array(finding, { maxLength: 30 })

  it('is 100 less what its parts take, from 0 to 100', () => {
    fc.assert(
      fc.property(findings, (all) => {
        const { score, parts, severity } = standingOf(all)
        if (score === null) {
          expect({ severity, parts }).toEqual({ severity: 'unheard', parts: [] })
          return
        }
        expect(100 - parts.reduce((sum, { taken }) => sum + taken, 0)).toBe(score)
        expect(score).toBeGreaterThanOrEqual(0)
        expect(new Set(parts.map(({ family }) => family)).size).toBe(parts.length)
      }),
    )
  })

  it('is never raised by a further finding', () => {
    fc.assert(
      fc.property(findings, finding, fc.nat(30), (all, one, at) => {
        const before = standingOf(all)
        const after = standingOf([...all.slice(0, at), one, ...all.slice(at)])
        expect(severityRank(after.severity)).toBeLessThanOrEqual(severityRank(before.severity))
        if (before.score !== null && after.score !== null) expect(after.score).toBeLessThanOrEqual(before.score)
      }),
      { numRuns: 2000 },
    )
  })

  it('does not depend on the order of the findings', () => {
    fc.assert(
      fc.property(findings, (all) => {
        expect(standingOf([...all].reverse()).score).toBe(standingOf(all).score)
      }),
    )
  })

  it('is never better than that of a better standing', () => {
    fc.assert(
      fc.property(findings, findings, (some, others) => {
        const [a, b] = [standingOf(some), standingOf(others)]
        if (a.score === null || b.score === null) return
        if (severityRank(a.severity) < severityRank(b.severity)) expect(a.score).toBeLessThan(b.score)
      }),
    )
  })
})
