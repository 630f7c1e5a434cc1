import { describe, expect, it } from 'vitest'
import { ago, exactTime, fromLocalInput, localInput, midnights, span } from '../../../apps/web/shared/time.ts'

const CHICAGO = 'America/Chicago'
const at = (text: string) => Date.parse(text)

describe('a time on the facility’s clock', () => {
  it('is shown in its zone, with the year only when it is another than now', () => {
    expect(exactTime('2026-11-25T12:05:00Z', CHICAGO, at('2026-11-25T13:00:00Z'))).toBe('Nov 25, 6:05 am')
    expect(exactTime('2025-11-25T18:05:00Z', CHICAGO, at('2026-11-25T13:00:00Z'))).toBe('Nov 25 2025, 12:05 pm')
  })

  it('calls midnight and noon twelve', () => {
    expect(exactTime('2026-11-25T06:00:00Z', CHICAGO, at('2026-11-25T13:00:00Z'))).toBe('Nov 25, 12:00 am')
    expect(exactTime('2026-11-25T18:00:00Z', CHICAGO, at('2026-11-25T13:00:00Z'))).toBe('Nov 25, 12:00 pm')
  })

  it.each([
    ['2026-11-25T06:05', '2026-11-25T12:05:00.000Z'],
    ['2026-07-01T06:05', '2026-07-01T11:05:00.000Z'],
  ])('%s comes back as the instant it was', (text, instant) => {
    const ms = fromLocalInput(text, CHICAGO)
    expect(ms && new Date(ms).toISOString()).toBe(instant)
    expect(ms && localInput(ms, CHICAGO)).toBe(text)
  })

  // US daylight saving 2026: from 2:00 on March 8 to 2:00 on November 1 (15 USC 260a).
  it('is refused where the clock skips it in spring', () => {
    expect(fromLocalInput('2026-03-08T02:30', CHICAGO)).toBeNull()
    expect(fromLocalInput('2026-03-08T03:30', CHICAGO)).toBe(at('2026-03-08T08:30:00Z'))
  })

  it('is the first of two where the clock shows it twice in autumn', () => {
    expect(fromLocalInput('2026-11-01T01:30', CHICAGO)).toBe(at('2026-11-01T06:30:00Z'))
  })

  it.each(['', 'soon', '2026-13-01T00:00', '2026-02-30T10:00'])('refuses “%s”', (text) => {
    expect(fromLocalInput(text, CHICAGO)).toBeNull()
  })

  it('finds each midnight of a week once, also across the change of the clock', () => {
    const days = midnights(at('2026-10-29T12:00:00Z'), at('2026-11-04T12:00:00Z'), CHICAGO)
    expect(days.map((ms) => localInput(ms, CHICAGO))).toEqual(
      ['2026-10-30', '2026-10-31', '2026-11-01', '2026-11-02', '2026-11-03', '2026-11-04'].map((day) => `${day}T00:00`),
    )
  })
})

describe('how long ago', () => {
  const now = at('2026-11-25T12:00:00Z')
  it.each([
    ['2026-11-25T11:59:30Z', 'just now'],
    ['2026-11-25T11:48:00Z', '12 min ago'],
    ['2026-11-25T07:00:00Z', '5 h ago'],
    ['2026-11-24T07:00:00Z', '29 h ago'],
    ['2026-11-20T12:00:00Z', '5 days ago'],
    ['2026-11-25T12:30:00Z', 'in the future'],
  ])('%s is %s', (then, words) => expect(ago(then, now)).toBe(words))

  it('never says 0 min', () => expect(span(10)).toBe('1 min'))
})
