'use client'
import { planFor } from '@sightglass/chemistry'
import type { Overview, Reading } from '@sightglass/contract'
import { useMemo } from 'react'
import { type Advice, adviceOn } from '../../shared/advice.ts'
import type { DoseEntry } from '../../shared/amounts.ts'
import { type Draft, inSystem, readTexts } from '../../shared/entry.ts'
import { knownOf, withoutTest } from '../../shared/known.ts'
import { useUnits } from '../../shared/Units.tsx'
import { useCall } from '../../shared/useCall.ts'
import { useOnSite } from '../../shared/useOnSite.ts'
import { useSettled } from '../../shared/useSettled.ts'
import { prepareRetest } from './retest.ts'

const NO_DOSES: readonly DoseEntry[] = []

/**
 * What the typed numbers mean, worked out in this browser once they have stood still for a moment. Null while nothing can
 * be said: the body is not known yet, or is retired.
 * @param replaced the test that is being corrected: it no longer counts
 * @param doses what was added since the test before
 */
export function useAdvice(
  { body, facility, readings }: Overview,
  draft: Draft | null,
  { replaced, doses = NO_DOSES }: { replaced?: Reading; doses?: readonly DoseEntry[] } = {},
) {
  const system = useUnits()
  const settled = useSettled(draft)
  const { data, error } = useCall('getSnapshots', { query: { bodyId: [body.id] } })
  const known = useMemo(() => data && knownOf(data, body.id), [data, body.id])
  const { options, chemicals } = useOnSite(body.id, known?.snapshot ?? null)
  const zone = facility.timeZone
  const advice = useMemo((): Advice | null => {
    if (!known || !settled) return null
    const present = known.snapshot
    const without = replaced ? { ...known, snapshot: withoutTest(present, replaced, readings) } : known
    return adviceOn([inSystem(settled, system)], without, { zone, system, nowMs: Date.now(), options, present })
  }, [known, settled, replaced, readings, zone, system, options])
  const retest = useMemo(() => {
    if (!known || !settled || doses.length === 0) return null
    const before = planFor(known.snapshot, known.profile, Date.now())
    return prepareRetest(known.snapshot, before, doses, readTexts(settled.texts, [], settled.system).values, system)
  }, [known, settled, doses, system])
  return { advice, retest, chemicals, error: known ? null : error }
}
