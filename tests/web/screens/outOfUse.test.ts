import type { Overview } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import { outOfUseWords, readOutOfUse } from '../../../apps/web/screens/body/outOfUse.ts'

const now = Date.parse('2026-11-25T12:00:00Z')
const overview = (outOfUse: Partial<Overview['outOfUse']> | null, severity = 'outOfUse') =>
  ({
    facility: { timeZone: 'America/Chicago' },
    standing: { severity },
    outOfUse: outOfUse && { from: '2026-11-03T12:00:00Z', to: null, reason: 'Drained', person: 'A. Reed', ...outOfUse },
  }) as unknown as Overview

describe('what is said of a body out of use', () => {
  it('is nothing while it is in use', () => expect(outOfUseWords(overview(null), now)).toBeNull())

  it('is since when, why and by whom', () => {
    expect(outOfUseWords(overview({}), now)).toEqual({
      begun: true,
      text: 'Out of use since Nov 3, 6:00 am: Drained. Its water is not judged meanwhile.',
      who: 'Entered by A. Reed.',
    })
  })

  it('is from when it will be, and from when it is in use again', () => {
    const words = outOfUseWords(overview({ from: '2026-12-01T12:00:00Z', to: '2027-04-01T11:00:00Z' }, 'fine'), now)
    expect(words).toMatchObject({
      begun: false,
      text: 'Out of use from Dec 1, 6:00 am: Drained. It is in use again from Apr 1 2027, 6:00 am. Its water is not judged meanwhile.',
    })
  })

  it('is that feeding is judged, when it is fed', () => {
    expect(outOfUseWords(overview({}, 'close'), now)?.text).toContain('What is fed into it all the same is judged.')
  })
})

describe('the form that takes a body out of use', () => {
  const draft = { from: '2026-11-03T06:00', to: '', reason: ' Drained ', person: 'A. Reed' }
  const read = (given: object) => readOutOfUse({ ...draft, ...given }, 'America/Chicago')

  it('gives times on the facility’s clock as instants; an empty end is not known', () => {
    expect(read({})).toEqual({
      errors: {},
      period: { from: '2026-11-03T12:00:00.000Z', to: null, reason: 'Drained', person: 'A. Reed' },
    })
    expect(read({ to: '2027-04-01T06:00' }).period.to).toBe('2027-04-01T11:00:00.000Z')
  })

  it.each([
    [{ reason: ' ' }, 'reason'],
    [{ person: '' }, 'person'],
    [{ from: '' }, 'from'],
    [{ to: 'spring' }, 'to'],
    [{ to: '2026-11-03T06:00' }, 'to'],
  ])('with %j says what is wrong at its field', (given, field) => {
    expect(Object.keys(read(given).errors)).toEqual([field])
  })
})
