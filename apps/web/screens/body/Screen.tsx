'use client'
import { CAUTIONS } from '@sightglass/chemistry'
import type { Overview } from '@sightglass/contract'
import Link from 'next/link'
import { useEffect, useState } from 'react'
import { History } from '../../charts/draw/History.tsx'
import { BodyCrumbs } from '../../shared/BodyCrumbs.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { SeverityLabel } from '../../shared/Severity.tsx'
import { type Before, takeBefore } from '../../shared/standingBefore.ts'
import { useUnits } from '../../shared/Units.tsx'
import { useCall } from '../../shared/useCall.ts'
import { useNow } from '../../shared/useNow.ts'
import { When } from '../../shared/When.tsx'
import { bodyFacts } from '../../shared/words.ts'
import { Findings } from './Findings.tsx'
import { ClosedFindings, Drums, Imports, Latest, Readings } from './Parts.tsx'
import { changeWords, factWords, groupFindings, prepareHistories, scoreWords, sharedCautionLines } from './prepare.ts'

const REFRESH_MS = 60_000

export function BodyScreen({ initial, at }: { initial: Overview; at: string }) {
  const { data = initial, error } = useCall(
    'getOverview',
    { params: { bodyId: initial.body.id } },
    { initial, every: REFRESH_MS },
  )
  const system = useUnits()
  const now = useNow(at)
  const { body, facility, standing } = data
  const score = scoreWords(data)
  const histories = prepareHistories(data)
  return (
    <main className="page body-page" id="main">
      <BodyCrumbs facility={facility} />
      <header className={`body-head body-head-${standing?.severity ?? 'unheard'}`}>
        <div>
          <h1>{body.name}</h1>
          <p className="body-facts">
            {bodyFacts(body)}
            {factWords(data, system).map((words) => (
              <span key={words}> · {words}</span>
            ))}
          </p>
        </div>
        <div className="body-standing">
          <SeverityLabel severity={standing?.severity ?? 'unheard'} />
          {score ? (
            <>
              <span className="body-score">
                {score.score} <span className="faint">of 100</span>
              </span>
              <span className="body-working">{score.working}</span>
            </>
          ) : (
            <span className="body-working">No score: nothing recent enough to judge.</span>
          )}
          <span className="faint">
            {data.heardAt ? (
              <>
                Heard <When at={data.heardAt} zone={facility.timeZone} now={now} />
              </>
            ) : (
              'Never heard'
            )}
            {data.assessedAt && (
              <>
                ; judged <When at={data.assessedAt} zone={facility.timeZone} now={now} />
              </>
            )}
          </span>
        </div>
      </header>
      <Changed overview={data} />
      {error && <ProblemNote error={error}> What is below may be old.</ProblemNote>}
      {body.retiredAt && (
        <p className="notice">This body of water is retired: it is no longer judged, its history stays.</p>
      )}
      <p className="buttons">
        <Link className="button" href={`/readings/new?bodyId=${body.id}`}>
          Enter a test
        </Link>
        <Link className="button quiet" href={`/imports/new?facilityId=${facility.id}`}>
          Load an export
        </Link>
        <Link className="button quiet" href={`/facilities/${facility.id}`}>
          The plant
        </Link>
      </p>
      <p className="caution-line">{CAUTIONS.localCodeFirst}</p>
      <div className="body-columns">
        <Findings
          groups={groupFindings(data, system, now)}
          cautions={sharedCautionLines(data)}
          severity={standing?.severity ?? 'unheard'}
        />
        <div className="body-side">
          <Latest overview={data} now={now} />
          <Drums overview={data} now={now} />
        </div>
      </div>
      <section aria-labelledby="history">
        <h2 id="history">The last 7 days</h2>
        {histories.length ? (
          <div className="charts">
            {histories.map((model) => (
              <History key={model.title} model={model} />
            ))}
          </div>
        ) : (
          <p className="faint">
            {data.channels.length
              ? 'The controller reported nothing in this time. Load an export, or see whether its gateway still sends.'
              : 'No controller channel serves this body of water.'}
          </p>
        )}
      </section>
      <Readings overview={data} now={now} />
      <Imports overview={data} now={now} />
      <ClosedFindings overview={data} now={now} />
    </main>
  )
}

/** Said once after a test was stored: how the standing changed. */
function Changed({ overview }: { overview: Overview }) {
  const [before, setBefore] = useState<Before | null>(null)
  useEffect(() => setBefore(takeBefore(overview.body.id)), [overview.body.id])
  return before && <output className="notice notice-good">{changeWords(before, overview)}</output>
}
