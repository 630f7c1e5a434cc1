import type { Overview } from '@sightglass/contract'
import { exactTime, fromLocalInput, NO_SUCH_TIME } from '../../shared/time.ts'

/** What is said of a body that is out of use, or will be; null in use. */
export function outOfUseWords({ outOfUse, facility, standing }: Overview, nowMs: number) {
  if (!outOfUse) return null
  const time = (at: string) => exactTime(at, facility.timeZone, nowMs)
  const begun = Date.parse(outOfUse.from) <= nowMs
  const until = outOfUse.to ? ` It is in use again from ${time(outOfUse.to)}.` : ''
  const judged =
    begun && standing?.severity !== 'outOfUse'
      ? ' What is fed into it all the same is judged.'
      : ' Its water is not judged meanwhile.'
  return {
    begun,
    text: `${begun ? 'Out of use since' : 'Out of use from'} ${time(outOfUse.from)}: ${ended(outOfUse.reason)}${until}${judged}`,
    who: `Entered by ${outOfUse.person}.`,
  }
}

const ended = (reason: string) => (/[.!?]$/.test(reason) ? reason : `${reason}.`)

/** As it is being typed; times on the facility's clock. */
export interface OutOfUseDraft {
  from: string
  to: string
  reason: string
  person: string
}

export type OutOfUseErrors = Partial<Record<keyof OutOfUseDraft, string>>

/** The period as the API takes it, or what is wrong by field. */
export function readOutOfUse(draft: OutOfUseDraft, zone: string) {
  const errors: OutOfUseErrors = {}
  const fromMs = fromLocalInput(draft.from, zone)
  const toMs = draft.to ? fromLocalInput(draft.to, zone) : null
  if (fromMs === null) errors.from = NO_SUCH_TIME
  if (draft.to && toMs === null) errors.to = NO_SUCH_TIME
  else if (fromMs !== null && toMs !== null && toMs <= fromMs)
    errors.to = 'must be after the time from which it is out of use'
  if (!draft.reason.trim()) errors.reason = 'must say why'
  if (!draft.person.trim()) errors.person = 'must name the person'
  return {
    errors,
    period: {
      from: new Date(fromMs ?? 0).toISOString(),
      to: toMs === null ? null : new Date(toMs).toISOString(),
      reason: draft.reason.trim(),
      person: draft.person.trim(),
    },
  }
}
