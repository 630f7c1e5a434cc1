import type { Severity } from '@sightglass/chemistry'

export interface Before {
  severity: Severity
  score: number | null
  /** What was stored, in a sentence. */
  what: string
}

const keyOf = (bodyId: string) => `sightglass.before.${bodyId}`

/** Notes how a body stood before something was stored, for its page to say what changed. */
export function noteBefore(bodyId: string, before: Before) {
  try {
    sessionStorage.setItem(keyOf(bodyId), JSON.stringify(before))
  } catch {
    // Without session storage the page opens without that line.
  }
}

const taken = new Map<string, Before>()

/** What was noted, once; React may mount twice in development, so a moment's repeat gives the same. */
export function takeBefore(bodyId: string): Before | null {
  try {
    const text = sessionStorage.getItem(keyOf(bodyId))
    if (text === null) return taken.get(bodyId) ?? null
    sessionStorage.removeItem(keyOf(bodyId))
    const before = JSON.parse(text) as Before
    taken.set(bodyId, before)
    setTimeout(() => taken.delete(bodyId), 1000)
    return before
  } catch {
    return null
  }
}
