import { type DrumLevel, drumForecast, renderPhrase } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { DAY, drum, feeder, find, GOOD, judge, kinds, NOW, severityOf, snapshot, tested } from '../support.ts'

/** Levels read every `every` days up to `lastAgo` days ago, the drum filled up when it was read. */
function history(perDay: number, last: number, { every = 4, visits = 6, lastAgo = 0 } = {}): DrumLevel[] {
  return Array.from({ length: visits }, (_, visit) => {
    const newest = visit === visits - 1
    return {
      atMs: NOW - (lastAgo + (visits - 1 - visit) * every) * DAY,
      levelL: newest ? last : 150,
      deliveredL: visit === 0 ? 0 : newest ? last - 150 + every * perDay : every * perDay,
    }
  })
}
const body = (levels: DrumLevel[]) =>
  snapshot({ feeders: [feeder({ role: 'primary', drum: drum('sodiumHypochlorite', levels) })] })

describe('days left in a drum', () => {
  it('are its level over its use, as a range', () => {
    const forecast = drumForecast(drum('sodiumHypochlorite', history(10, 50)), NOW)
    expect(forecast?.useLPerDay.typical).toBeCloseTo(10)
    expect(forecast?.daysLeft.typical).toBeCloseTo(5)
    expect(forecast?.daysLeft.low).toBeLessThan(5)
    expect(forecast?.daysLeft.high).toBeGreaterThan(5)
  })

  it('run on after the last reading', () => {
    const forecast = drumForecast(drum('sodiumHypochlorite', history(10, 50, { lastAgo: 2 })), NOW)
    expect(forecast?.daysLeft.typical).toBeCloseTo(3)
    expect(forecast?.levelL).toBeCloseTo(30)
  })

  it('are not led astray by one wrong reading, nor by a refill that nobody wrote down', () => {
    const right = history(10, 50, { visits: 8 })
    const wrong = right.map((level, index) => (index === 3 ? { ...level, levelL: level.levelL - 60 } : level))
    expect(drumForecast(drum('sodiumHypochlorite', wrong), NOW)?.useLPerDay.typical).toBeCloseTo(10, 0)
    const silent = right.map((level, index) => (index === 4 ? { ...level, deliveredL: 0 } : level))
    expect(drumForecast(drum('sodiumHypochlorite', silent), NOW)?.useLPerDay.typical).toBeCloseTo(10)
  })

  it('weigh later use more', () => {
    const early = [0, 5, 10, 15].map((day) => ({ atMs: NOW - (27 - day) * DAY, levelL: 190 - 2 * day, deliveredL: 0 }))
    const late = [4, 8, 12].map((day) => ({ atMs: NOW - (12 - day) * DAY, levelL: 160 - 12 * day, deliveredL: 0 }))
    const use = drumForecast(drum('sodiumHypochlorite', [...early, ...late]), NOW)?.useLPerDay.typical
    expect(use).toBeCloseTo(12)
  })

  /** Stretches of two days each: how long ago each ended and its use per day; between them the drum was filled unwritten. */
  const apart = (...stretches: [endedDaysAgo: number, perDay: number][]): DrumLevel[] =>
    stretches.flatMap(([ended, perDay], index) => [
      { atMs: NOW - (ended + 2) * DAY, levelL: 100 + 30 * index, deliveredL: 0 },
      { atMs: NOW - ended * DAY, levelL: 100 + 30 * index - 2 * perDay, deliveredL: 0 },
    ])
  const use = (...levels: [daysAgo: number, levelL: number][]) =>
    drumForecast(
      drum(
        'trichlor',
        levels.map(([ago, levelL]) => ({ atMs: NOW - ago * DAY, levelL, deliveredL: 0 })),
      ),
      NOW,
    )?.useLPerDay

  it.each([
    [11, 5],
    [12, 10],
  ])('count use half after ten days: 5 L 9 and %d days ago beside 10 L today make %d', (older, typical) => {
    // 2^−0.9 + 2^−1.2 < 1 < 2^−0.9 + 2^−1.1
    const levels = apart([older, 5], [9, 5], [0, 10])
    expect(drumForecast(drum('trichlor', levels), NOW)?.useLPerDay.typical).toBeCloseTo(typical)
  })

  it('are told from use in any order, its slower and faster quarter at the ends', () => {
    expect(use([6, 100], [4, 60], [2, 50], [0, 40])).toEqual({ low: 4.5, typical: 5, high: 20 })
  })

  it('begin anew at a rise of more than three hundredths of the drum; less is the stick, and given back by what follows', () => {
    expect(use([3, 100], [1, 160], [0, 150])).toMatchObject({ typical: 10 })
    expect(use([3, 100], [1, 106], [0, 91])?.typical).toBeCloseTo((100 - 91) / 3)
    expect(use([3, 100], [1, 106.01], [0, 91.01])?.typical).toBeCloseTo(15)
  })

  it.each([
    ['slowest', 7.2, 1, { low: 1 }],
    ['slowest', 7.34, 1, { low: 9 }],
    ['fastest', 7.2, 30, { high: 30 }],
    ['fastest', 7.34, 30, { high: 11 }],
  ])(
    'take the quarter points: the %s stretch, ended %d days ago, weighs just over or under a quarter',
    (_, ended, rate, expected) => {
      // 2^−0.72 of 2^−0.72 + 2^−0.3 + 1 is 0.2509, 2^−0.734 is 0.2491
      const levels = apart([ended, rate], [3, 10], [0, 10])
      expect(drumForecast(drum('trichlor', levels), NOW)?.useLPerDay).toMatchObject(expected)
    },
  )

  it('are told of slow use too, and never fall under nothing', () => {
    expect(drumForecast(drum('trichlor', history(0.5, 50)), NOW)?.daysLeft.typical).toBeCloseTo(100)
    const empty = drumForecast(drum('trichlor', history(10, 50, { lastAgo: 9 })), NOW)
    expect(empty).toMatchObject({ levelL: 0, lastLevelL: 50, daysLeft: { low: 0, typical: 0, high: 0 } })
  })

  it('do not count a level ahead of the clock for more than one of now', () => {
    // the stretch of now is half of the weight; the other would outweigh it if the future counted for more
    expect(use([2, 100], [0, 90], [-0.5, 130], [-2.5, 110])?.typical).toBe(5)
  })

  it('are told from half a day on, not from less', () => {
    expect(use([0.5, 100], [0, 95])).toMatchObject({ typical: 10 })
    expect(use([0.499, 100], [0, 95])).toBeUndefined()
  })

  it('are unknown from no reading, one, or two within hours', () => {
    const at = (hours: number, levelL: number) => ({ atMs: NOW - hours * 3_600_000, levelL, deliveredL: 0 })
    expect(drumForecast(drum('trichlor'), NOW)).toBeNull()
    expect(drumForecast(drum('trichlor', [at(5, 100)]), NOW)).toBeNull()
    expect(drumForecast(drum('trichlor', [at(5, 100), at(1, 90)]), NOW)).toBeNull()
  })

  it('have no end when nothing is used', () => {
    const forecast = drumForecast(drum('trichlor', history(0, 150)), NOW)
    expect(forecast?.daysLeft).toEqual({ low: null, typical: null, high: null })
  })

  it('are wide from a single stretch', () => {
    const levels = [
      { atMs: NOW - 5 * DAY, levelL: 100, deliveredL: 0 },
      { atMs: NOW, levelL: 50, deliveredL: 0 },
    ]
    const forecast = drumForecast(drum('trichlor', levels), NOW)
    expect(forecast?.useLPerDay).toEqual({ low: 7, typical: 10, high: 13 })
    // and a stick that may have missed 2 L of 200
    expect(forecast?.daysLeft.low).toBeCloseTo(48 / 13)
    expect(forecast?.daysLeft.high).toBeCloseTo(52 / 7)
  })
})

describe('a drum running low', () => {
  it.each([
    [71, 'none'],
    [69, 'watch'],
    [21, 'watch'],
    [19, 'act'],
    [0, 'act'],
  ] as const)('with %s L at 10 L a day: %s', (level, severity) => {
    expect(severityOf(body(history(10, level)), 'drumLow')).toBe(severity)
  })

  it('says days and range, and carries the drum as its subject', () => {
    const low = find(body(history(10, 50)), 'drumLow')
    expect(low && renderPhrase(low.sentence, 'us')).toBe(
      'Drum of sodiumHypochlorite lasts about 5 days more, between 4 days and 5.5 days; it should last 7 days.',
    )
    expect(low).toMatchObject({
      subject: 'drum of sodiumHypochlorite',
      limit: { value: 7, citation: { authority: 'practice' } },
    })
  })

  it('says what to bring, as a range, and until when it must be there', () => {
    const told = (levels: DrumLevel[], content: 'sodiumHypochlorite' | 'trichlor' = 'sodiumHypochlorite') => {
      const feeders = [feeder({ role: 'primary', drum: drum(content, levels) })]
      const low = find(snapshot({ feeders }), 'drumLow')
      return [...(low?.bring ?? []), low?.advice[0]].map((line) => line && renderPhrase(line, 'metric'))
    }
    // 48 L at 11 L on a fast day, used ever faster as it fades: 4.3 days; filled a day before, 3.3 days of 10 or 11 L are gone of 50
    expect(told(history(10, 50))).toEqual([
      'sodium hypochlorite: about 183 L, 186 L at most',
      'Fill it within 3 days: a day is left then, should it go fast. Read the level and write down what was filled in.',
    ])
    expect(told(history(10, 15))[1]).toContain('Fill it today')
    // tablets go by weight: 0.95 kg to the litre of hopper
    expect(told(history(10, 50), 'trichlor')[0]).toBe('trichlor tablets: about 174 kg, 178 kg at most')
  })

  it('doubts a last level that does not follow from the one before, and says how to find out', () => {
    const advice = (levels: DrumLevel[]) =>
      find(body(levels), 'drumLow')
        ?.advice.map((line) => renderPhrase(line, 'us'))
        .join(' ')
    const later = (levelL: number, newest: number) => [
      ...history(10, levelL, { lastAgo: 4 }),
      { atMs: NOW, levelL: newest, deliveredL: 0 },
    ]
    // 40 L should have gone; three times as much is the limit
    expect(advice(later(150, 29))).toContain('look for a leak or a siphon')
    expect(advice(later(150, 31))).not.toContain('leak')
    // 6 L up is the stick in 200 L
    expect(advice(later(40, 47))).toContain('nothing noted as filled in')
  })

  it('is told as a range that reaches as far as either reading would have it, where the last is doubtful', () => {
    const left = (levelL: number, newest: number) =>
      drumForecast(
        drum('trichlor', [...history(10, levelL, { lastAgo: 4 }), { atMs: NOW, levelL: newest, deliveredL: 0 }]),
        NOW,
      )
    // 70 L should have been left of 110: with 150 nobody knows whether it was filled or misread
    expect(left(110, 150)).toMatchObject({ doubt: 'rose', lastLevelL: 150 })
    expect(left(110, 150)?.daysLeft.low).toBeCloseTo((70 - 2) / 11)
    expect(left(110, 150)?.daysLeft.typical).toBeCloseTo(15)
    expect(left(180, 20)).toMatchObject({ doubt: 'fell' })
    expect(left(180, 20)?.daysLeft.high).toBeCloseTo((140 + 2) / 9)
    expect(left(180, 140)).toMatchObject({ doubt: null })
    // within the stick
    expect(left(40, 45)).toMatchObject({ doubt: null })
  })

  it('never says 0 days while something is left', () => {
    const low = find(body(history(10, 3)), 'drumLow')
    expect(low && renderPhrase(low.sentence, 'us')).toBe(
      'Drum of sodiumHypochlorite lasts less than half a day more; it should last 7 days.',
    )
  })

  it('that was read empty says so, and is to be filled now', () => {
    const low = find(
      body([...history(10, 20, { lastAgo: 2 }), { atMs: NOW - DAY, levelL: 0, deliveredL: 0 }]),
      'drumLow',
    )
    expect(low && renderPhrase(low.sentence, 'us')).toContain('was read empty')
    expect(low?.advice.map((line) => renderPhrase(line, 'us'))[0]).toBe(
      'Fill it now, read the level, and write down what was filled in.',
    )
  })

  it('that was last read long ago asks for a look, not for an alarm', () => {
    const low = find(body(history(10, 100, { lastAgo: 20 })), 'drumLow')
    expect(low?.severity).toBe('watch')
    expect(low && renderPhrase(low.sentence, 'us')).toContain('should be empty by now')
  })

  it.each([
    [20, 'watch'],
    [20.1, 'none'],
    [1, 'watch'],
    [0, 'act'],
  ] as const)('read once, at %s of 200 L: %s', (levelL, severity) => {
    expect(severityOf(body([{ atMs: NOW - DAY, levelL, deliveredL: 0 }]), 'drumLow')).toBe(severity)
  })

  it.each([
    [7, 'act'],
    [7.01, 'watch'],
  ])('by a level of %d days ago that should be used up: %s', (lastAgo, severity) => {
    expect(severityOf(body(history(10, 60, { lastAgo })), 'drumLow')).toBe(severity)
  })

  it('asks for the pump to be primed only where the drum should be empty', () => {
    const advice = (level: number, lastAgo: number) =>
      find(body(history(10, level, { lastAgo })), 'drumLow')
        ?.advice.map((line) => renderPhrase(line, 'us'))
        .join(' ')
    expect(advice(50, 6)).toContain('prime the pump')
    expect(advice(50, 4)).not.toContain('prime the pump')
  })

  it('is said once for a drum that two feeders share, and not of a drum without readings', () => {
    const shared = drum('sodiumHypochlorite', history(10, 30))
    const given = snapshot({
      feeders: [feeder({ role: 'primary', drum: shared }), feeder({ role: 'backup', drum: shared })],
    })
    expect(kinds(given).filter((kind) => kind === 'drumLow')).toHaveLength(1)
    expect(kinds(body([]))).not.toContain('drumLow')
    expect(kinds(snapshot({ feeders: [feeder({ role: 'primary', kind: 'saltGenerator' })] }))).not.toContain('drumLow')
  })

  it.each([
    ['a week before it is empty', 75, 0, 0.5],
    ['at the next half day', 53, 0, 0.3],
    ['two days before it is empty', 24.9, 0, 0.49],
    ['when it should be empty', 3, 0, 0.3],
    ['when the level is too old to alarm', 72, 6.9, 0.1],
  ])('is looked at again %s', (_when, level, lastAgo, dueDays) => {
    const { dueAtMs } = judge({ ...body(history(10, level, { lastAgo })), tests: tested(GOOD, 0) })
    expect(((dueAtMs ?? 0) - NOW) / DAY).toBeCloseTo(dueDays, 4)
  })

  it('comes up by time alone, at the time that was told', () => {
    const given = body(history(10, 75))
    const { dueAtMs, findings } = judge(given)
    expect(findings.map(({ kind }) => kind)).not.toContain('drumLow')
    expect(dueAtMs).toBeCloseTo(NOW + 0.5 * DAY, -3)
    expect(kinds(given, undefined, dueAtMs as number)).toContain('drumLow')
  })
})
