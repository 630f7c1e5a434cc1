'use client'
import { incidentDoses } from '@sightglass/chemistry'
import type { IncidentDetail, SnapshotsAnswer } from '@sightglass/contract'
import { useMemo } from 'react'
import { Step } from '../../shared/DoseStep.tsx'
import { prepareStep } from '../../shared/doses.ts'
import { knownOf } from '../../shared/known.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { useUnits } from '../../shared/Units.tsx'
import { useCall } from '../../shared/useCall.ts'
import { useOnSite } from '../../shared/useOnSite.ts'
import { lines } from './prepare.ts'

const REFRESH_MS = 60_000

interface Given {
  incident: IncidentDetail
  /** Absent when it could not be had with the page. */
  snapshots?: SnapshotsAnswer
  now: number
}

/** What to add, worked out here from the newest tests, so that it works without the server as well. */
export function Doses({ incident, snapshots, now }: Given) {
  const { bodyId, contact } = incident
  const query = { bodyId: [bodyId] }
  const { data, error } = useCall('getSnapshots', { query }, { initial: snapshots, every: REFRESH_MS })
  const system = useUnits()
  const known = useMemo(() => data && knownOf(data, bodyId), [data, bodyId])
  const { options } = useOnSite(bodyId, known?.snapshot ?? null)
  const doses = useMemo(
    () => (known && contact ? incidentDoses(known.snapshot, known.profile, contact, now, options) : null),
    [known, contact, now, options],
  )
  if (!doses) return error ? <ProblemNote error={error}> Without it no dose can be worked out here.</ProblemNote> : null
  const steps = doses.plan?.steps ?? []
  const remains = lines(doses.plan?.remains ?? [], system)
  const said = [...lines(doses.missing, system), ...remains]
  return (
    <section aria-labelledby="doses">
      <h2 id="doses">{contact?.state === 'reached' ? 'What to add, back to the limits' : 'What to add now'}</h2>
      {steps.length === 0 && said.length === 0 && (
        <p>Nothing by the newest test: level and pH are where they must be.</p>
      )}
      {said.length > 0 && (
        <ul className="advice">
          {said.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      {steps.length > 0 && (
        <ol className="steps">
          {steps.map((step, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: the place is what makes a step
            <Step key={index} step={prepareStep(step, system)} number={index + 1} />
          ))}
        </ol>
      )}
      {steps.length > 0 && doses.assumed.length > 0 && (
        <details>
          <summary>What is assumed</summary>
          <ul className="advice">
            {lines(doses.assumed, system).map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </details>
      )}
    </section>
  )
}
