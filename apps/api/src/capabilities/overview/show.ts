import {
  bodyAsTested,
  type CodeProfile,
  derivedValues,
  type LimitedThing,
  limitRangeFor,
  type Measured,
  PARAMETERS,
  type Snapshot,
  suppliesOf,
  waterNow,
} from '@sightglass/chemistry'
import type { Overview } from '@sightglass/contract'

type Latest = Overview['latest'][number]

/** What the controller reports that has a range of its own. */
const HEARD = ['ph', 'orpMv', 'freeChlorineMgL', 'tempC'] as const

/** Each value as last known, from the test kit, from the controller and what follows from them, beside its range and whose range that is. */
export function latestValues(snapshot: Snapshot, profile: CodeProfile, now: Date): Latest[] {
  const { tests, controller } = snapshot
  const body = bodyAsTested(snapshot)
  const water = waterNow(snapshot)
  const beside = (thing: LimitedThing, measured: Measured | undefined, source: Latest['source']): Latest[] => {
    if (!measured) return []
    const { min, max } = limitRangeFor(profile, body, thing, water)
    return [
      {
        thing,
        value: measured.value,
        at: new Date(measured.atMs).toISOString(),
        source,
        min: min?.value ?? null,
        max: max?.value ?? null,
        minCitation: min ? citationText(min.citation) : null,
        maxCitation: max ? citationText(max.citation) : null,
      },
    ]
  }
  const heard = controller?.latest
  return [
    ...PARAMETERS.flatMap((parameter) => beside(parameter, tests[parameter], 'test')),
    ...HEARD.flatMap((quantity) => {
      const value = heard?.[quantity]
      return beside(quantity, heard && value != null ? { value, atMs: heard.atMs } : undefined, 'controller')
    }),
    ...derivedValues(snapshot, profile, +now).flatMap(({ thing, ...measured }) => beside(thing, measured, 'derived')),
  ]
}

const citationText = ({ authority, document, edition, section }: CodeProfile['limits'][number]['citation']) =>
  authority === 'practice' ? 'common practice, no source' : [document, edition, section].filter(Boolean).join(', ')

/** The drums that feed this body, each once, with its last level. */
export const drumStates = (snapshot: Snapshot, now: Date): Overview['drums'] =>
  suppliesOf(snapshot, +now).map(({ drum: { id, name, content, capacityL, levels }, forecast }) => {
    const last = levels.at(-1)
    return {
      drumId: id,
      name,
      content,
      capacityL,
      levelL: last?.levelL ?? null,
      levelAt: last ? new Date(last.atMs).toISOString() : null,
      daysLeft: forecast?.daysLeft.typical ?? null,
    }
  })
