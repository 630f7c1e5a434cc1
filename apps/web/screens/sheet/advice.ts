import type { PlanOptions } from '@sightglass/chemistry'
import type { Body } from '@sightglass/contract'
import { type Advice, adviceOn } from '../../shared/advice.ts'
import type { Known } from '../../shared/known.ts'
import { draftOfRow, isEmpty, type Sheet } from './sheet.ts'

export interface BodyAdvice {
  bodyId: string
  name: string
  advice: Advice
}

/**
 * What the sheet means for each of its bodies, in the order of the sheet. A body with several lines is judged by all of
 * them; a line that cannot be right holds up the advice on its body and on no other.
 */
export function sheetAdvice(
  sheet: Sheet,
  bodies: readonly Pick<Body, 'id' | 'name'>[],
  knownOf: (bodyId: string) => Known | null,
  { optionsOf, ...given }: { zone: string; nowMs: number; optionsOf: (bodyId: string, known: Known) => PlanOptions },
): BodyAdvice[] {
  const filled = sheet.rows.filter((row) => row.bodyId && !isEmpty(row))
  return [...new Set(filled.map(({ bodyId }) => bodyId))].flatMap((bodyId) => {
    const known = knownOf(bodyId)
    if (!known) return []
    const drafts = filled
      .filter((row) => row.bodyId === bodyId)
      .map((row) => draftOfRow(row, sheet))
      .sort((a, b) => a.at.localeCompare(b.at))
    const options = optionsOf(bodyId, known)
    const advice = adviceOn(drafts, known, { ...given, system: sheet.system, options, present: known.snapshot })
    const name = bodies.find(({ id }) => id === bodyId)?.name ?? ''
    return advice.state === 'nothing' ? [] : [{ bodyId, name, advice }]
  })
}
