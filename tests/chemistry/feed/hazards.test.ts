// Hazards seen in single samples: within two of them.
import type { LatestSample } from '@sightglass/chemistry'
import { renderPhrase } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { hoursOf } from '../../support/hours.ts'
import {
  ACID_PUMP,
  drum,
  feeder,
  find,
  HYPOCHLORITE_PUMP,
  hours,
  kinds,
  MINUTE,
  NOW,
  sample,
  severityOf,
} from '../support.ts'
import { withPast } from './past.ts'

const STEP = 5 * MINUTE

/** Samples every five minutes up to now; the newest are given, the rest are quiet. */
function samples(
  count: number,
  newest: Partial<LatestSample>[],
  quiet: (at: number) => Partial<LatestSample> = () => ({}),
) {
  return Array.from({ length: count }, (_, at) => {
    const given = newest[at - (count - newest.length)]
    return sample({ ...quiet(at), ...given, atMs: NOW - (count - 1 - at) * STEP })
  })
}

const given = (recent: LatestSample[], more: object = {}) =>
  withPast({
    hours: hours(24, { sanitizerFeedMin: 6, phFeedMin: 2 }),
    latest: recent[recent.length - 1] ?? {},
    recent,
    ...more,
  })

describe('feed without flow, in single samples', () => {
  const off = { flowOn: false, sanitizerFeedPct: 0, phFeedPct: 0 }

  it('is said of the second sample without flow that holds feed', () => {
    expect(severityOf(given(samples(12, [off, { ...off, sanitizerFeedPct: 10 }])), 'feedWithoutFlow')).toBe('close')
    expect(severityOf(given(samples(12, [off, { ...off, phFeedPct: 4 }])), 'feedWithoutFlow')).toBe('close')
  })

  it.each([
    ['the first sample without flow: the switch may lag', [{ ...off, sanitizerFeedPct: 20 }]],
    ['no feed', [off, off]],
    ['flow', [{ sanitizerFeedPct: 20 }, { sanitizerFeedPct: 20 }]],
    [
      'a flow that nobody reports',
      [
        { ...off, flowOn: null },
        { ...off, flowOn: null, sanitizerFeedPct: 20 },
      ],
    ],
  ] as const)('is not said of %s', (_case, newest) => {
    expect(kinds(given(samples(12, [...newest])))).not.toContain('feedWithoutFlow')
  })

  it('is not said across a gap: nobody knows whether it flowed in between', () => {
    const recent = samples(12, [off, { ...off, sanitizerFeedPct: 10 }])
    const gap = recent.map((one, at) => (at === recent.length - 2 ? { ...one, atMs: one.atMs - 40 * MINUTE } : one))
    expect(kinds(given(gap))).not.toContain('feedWithoutFlow')
  })
})

describe('both feeds in one sample', () => {
  /** In turns over days: sanitizer in the first quarter of each 20 minutes, acid in the third. */
  const turns = (at: number) => ({ sanitizerFeedPct: at % 4 === 0 ? 100 : 0, phFeedPct: at % 4 === 2 ? 50 : 0 })
  const both = { sanitizerFeedPct: 20, phFeedPct: 10 }
  // hours alone: no single sample is looked at
  const rolled = (recent: LatestSample[], more: object = {}) =>
    withPast({ hours: hoursOf(recent), latest: recent[recent.length - 1] ?? {}, ...more })

  it('is said at once of a controller that had kept them in turns', () => {
    const finding = find(rolled(samples(600, [both], turns)), 'acidWithHypochlorite')
    expect(finding).toMatchObject({ severity: 'act', causes: [{ cause: 'turnsNotKept' }] })
    expect(finding && renderPhrase(finding.sentence, 'us')).toContain(
      'no longer take turns: 1 of the last day’s samples',
    )
    expect(finding?.cautions).toContain('neverTogether')
    expect(finding?.sinceMs).toBe(NOW)
    expect(finding?.evidence.map(({ quantity }) => quantity.value)).toEqual([1])
  })

  it('stays said while it goes on: what breaks the habit is no part of it', () => {
    const since = Array.from({ length: 100 }, (_, at) => (at % 4 === 0 ? both : {}))
    expect(find(rolled(samples(700, since, turns)), 'acidWithHypochlorite')?.value?.value).toBe(25)
    const days = Array.from({ length: 600 }, (_, at) => (at % 4 === 0 ? both : {}))
    expect(find(rolled(samples(1400, days, turns)), 'acidWithHypochlorite')?.value?.value).toBeGreaterThan(60)
  })

  it('closes a day after the last of them', () => {
    const ended = (hoursAgo: number) =>
      kinds(rolled(samples(900, [both, ...Array.from({ length: hoursAgo * 12 }, () => ({}))], turns)))
    expect(ended(23)).toContain('acidWithHypochlorite')
    expect(ended(25)).not.toContain('acidWithHypochlorite')
  })

  it.each([
    ['a controller whose samples often held both', samples(600, [both], () => both)],
    // two hundred samples and some: a sixteenth of them by chance
    ['too few samples to know the habit', samples(250, [both], (at) => turns(at))],
    [
      'feeds that hardly ever ran',
      samples(600, [both], (at) =>
        at === 5 ? { sanitizerFeedPct: 20, phFeedPct: 0 } : { sanitizerFeedPct: 0, phFeedPct: 0 },
      ),
    ],
    ['turns that are kept', samples(600, [], turns)],
  ] as const)('is not said of %s', (_case, recent) => {
    expect(kinds(rolled([...recent]))).not.toContain('acidWithHypochlorite')
  })

  it('is not said where it is not known how many samples held both', () => {
    const recent = samples(600, [both], turns)
    const unknown = hoursOf(recent).map(({ bothSamples, ...hour }) => hour)
    expect(kinds(withPast({ hours: unknown, latest: recent.at(-1) ?? {} }))).not.toContain('acidWithHypochlorite')
  })

  it('is not said of a salt generator or of carbon dioxide: nothing of them can meet', () => {
    const recent = samples(600, [both], turns)
    const generator = {
      feeders: [feeder({ role: 'primary', kind: 'saltGenerator' }), ACID_PUMP],
      body: { sanitizerSystem: 'saltGenerator' },
    }
    expect(kinds(rolled(recent, generator))).not.toContain('acidWithHypochlorite')
    const gas = { feeders: [HYPOCHLORITE_PUMP, feeder({ role: 'ph', kind: 'co2', drum: drum('carbonDioxide') })] }
    expect(kinds(rolled(recent, gas))).not.toContain('acidWithHypochlorite')
  })
})

describe('a switch that shows flow beside a meter that shows none', () => {
  const stands = { flowOn: true, flowLMin: 0 }

  it('is said of the second such sample', () => {
    expect(severityOf(given(samples(12, [stands, stands])), 'flowSwitchStuck')).toBe('act')
  })

  it('is not said of one: a meter that starts', () => {
    expect(kinds(given(samples(12, [stands])))).not.toContain('flowSwitchStuck')
  })
})
