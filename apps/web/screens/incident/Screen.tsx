'use client'
import { CAUTIONS } from '@sightglass/chemistry'
import type { IncidentDetail, SnapshotsAnswer } from '@sightglass/contract'
import { useQueryClient } from '@tanstack/react-query'
import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { BodyCrumbs } from '../../shared/BodyCrumbs.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { SeverityLabel } from '../../shared/Severity.tsx'
import { useUnits } from '../../shared/Units.tsx'
import { keyOf, useCall } from '../../shared/useCall.ts'
import { useNow } from '../../shared/useNow.ts'
import { CloseForm } from './Closing.tsx'
import { Doses } from './Doses.tsx'
import { Closed, Sources, Steps, Tests, Timer } from './Parts.tsx'
import {
  instructionWords,
  prepareClosing,
  prepareSteps,
  prepareTests,
  prepareTimer,
  prepareVersions,
  reportWords,
  titleOf,
} from './prepare.ts'

const REFRESH_MS = 60_000

interface Given {
  initial: IncidentDetail
  /** What is needed to reckon; absent when it could not be had with the page, or is not needed any more. */
  snapshots?: SnapshotsAnswer
  at: string
}

export function IncidentScreen({ initial, snapshots, at }: Given) {
  const params = { bodyId: initial.bodyId, incidentId: initial.id }
  const { data = initial, error } = useCall('getIncident', { params }, { initial, every: REFRESH_MS })
  const client = useQueryClient()
  const router = useRouter()
  const system = useUnits()
  const now = useNow(at)
  const { bodyId, bodyName, facilityId, facilityName, timeZone: zone, contact } = data
  const closing = prepareClosing(data, now)
  const instruction = instructionWords(data, system)
  const closed = (detail: IncidentDetail) => {
    client.setQueryData(keyOf('getIncident', { params }), detail)
    router.refresh()
  }
  return (
    <main className="page incident-page" id="main">
      <BodyCrumbs facility={{ id: facilityId, name: facilityName }} body={{ id: bodyId, name: bodyName }} />
      <header className={`body-head ${closing ? '' : 'body-head-close'}`}>
        <div>
          <h1>{titleOf(data)}</h1>
          <p className="body-facts" suppressHydrationWarning>
            {bodyName}, {facilityName}. {reportWords(data, now)}
          </p>
          {data.note && <p>{data.note}</p>}
          {instruction && <p className="notice">{instruction}</p>}
        </div>
        <div className="body-standing">{closing ? <span>Closed</span> : <SeverityLabel severity="close" />}</div>
      </header>
      {error && <ProblemNote error={error}> What is below may be old.</ProblemNote>}
      <p className="buttons">
        {!closing && (
          <Link className="button" href={`/readings/new?bodyId=${bodyId}`}>
            Enter a test
          </Link>
        )}
        {!closing && (
          <Link className="button quiet" href={`/bodies/${bodyId}/incidents/${data.id}/correct`}>
            Correct, or add an instruction
          </Link>
        )}
        <Link className="button quiet" href={`/bodies/${bodyId}/incidents`}>
          All of this body
        </Link>
      </p>
      {!closing && <Cautions />}
      <div className="incident-columns">
        {closing ? (
          <Closed closing={closing} />
        ) : (
          <section aria-labelledby="do">
            <h2 id="do">What to do</h2>
            <Steps steps={prepareSteps(data.steps, system)} />
          </section>
        )}
        {contact ? (
          <Timer timer={prepareTimer(contact, zone, system, now)} />
        ) : (
          <p className="notice">This body of water is retired: its contact time is not followed any more.</p>
        )}
      </div>
      {!closing && contact && <Doses incident={data} snapshots={snapshots} now={now} />}
      {contact && <Tests rows={prepareTests(contact, zone, system, now)} />}
      {!closing && contact && (
        <section aria-labelledby="close">
          <h2 id="close">Close it</h2>
          {contact.state === 'reached' ? (
            <CloseForm incident={data} onClosed={closed} />
          ) : (
            <details className="incident-early">
              <summary>Close it although the contact time is not proved</summary>
              <CloseForm incident={data} onClosed={closed} />
            </details>
          )}
        </section>
      )}
      <Sources basis={data.basis} />
      <Versions incident={data} now={now} />
    </main>
  )
}

const Cautions = () => (
  <ul className="cautions" aria-label="Cautions">
    {(['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'acidIntoWater'] as const).map((key) => (
      <li key={key}>{CAUTIONS[key]}</li>
    ))}
  </ul>
)

function Versions({ incident, now }: { incident: IncidentDetail; now: number }) {
  const versions = prepareVersions(incident, useUnits(), now)
  if (versions.length === 0) return null
  return (
    <section aria-labelledby="versions">
      <h2 id="versions">What was reported, newest first</h2>
      <ol className="versions">
        {versions.map(({ id, what, who, more, replaced }) => (
          <li key={id} suppressHydrationWarning>
            <strong>{what}</strong> {more} <span className="faint">{who}</span>
            {replaced && <span className="faint"> (replaced)</span>}
          </li>
        ))}
      </ol>
    </section>
  )
}
