'use client'
import type { Overview, Reading } from '@sightglass/contract'
import { useMemo } from 'react'
import { type Advice, adviceOn } from '../../shared/advice.ts'
import { type Draft, inSystem } from '../../shared/entry.ts'
import { knownOf, withoutTest } from '../../shared/known.ts'
import { useUnits } from '../../shared/Units.tsx'
import { useCall } from '../../shared/useCall.ts'
import { useOnSite } from '../../shared/useOnSite.ts'
import { useSettled } from '../../shared/useSettled.ts'

/** A body as the server knows it, for what is worked out beside its form; null until it is there, and for a retired one. */
export function useKnown(bodyId: string) {
  const { data, error } = useCall('getSnapshots', { query: { bodyId: [bodyId] } })
  const known = useMemo(() => (data ? knownOf(data, bodyId) : null), [data, bodyId])
  return { known, error: data ? null : error }
}

/**
 * What the typed numbers mean, worked out in this browser once they have stood still for a moment. Null while nothing can
 * be said.
 * @param replaced the test that is being corrected: it no longer counts
 */
export function useAdvice({ body, facility, readings }: Overview, draft: Draft | null, replaced?: Reading) {
  const system = useUnits()
  const settled = useSettled(draft)
  const { known, error } = useKnown(body.id)
  const { options } = useOnSite(body.id, known?.snapshot ?? null)
  const zone = facility.timeZone
  const advice = useMemo((): Advice | null => {
    if (!known || !settled) return null
    const present = known.snapshot
    const without = replaced ? { ...known, snapshot: withoutTest(present, replaced, readings) } : known
    return adviceOn([inSystem(settled, system)], without, { zone, system, nowMs: Date.now(), options, present })
  }, [known, settled, replaced, readings, zone, system, options])
  return { advice, error }
}
