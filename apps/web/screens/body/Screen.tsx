'use client'
import { CAUTIONS, planFor } from '@sightglass/chemistry'
import type { Overview, SnapshotsAnswer } from '@sightglass/contract'
import Link from 'next/link'
import { useEffect, useMemo, useState } from 'react'
import { History } from '../../charts/draw/History.tsx'
import { BodyCrumbs } from '../../shared/BodyCrumbs.tsx'
import { type Known, knownOf } from '../../shared/known.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { SeverityLabel } from '../../shared/Severity.tsx'
import { type Before, takeBefore } from '../../shared/standingBefore.ts'
import { useUnits } from '../../shared/Units.tsx'
import { useCall } from '../../shared/useCall.ts'
import { useNow } from '../../shared/useNow.ts'
import { useOnSite } from '../../shared/useOnSite.ts'
import { When } from '../../shared/When.tsx'
import { bodyFacts } from '../../shared/words.ts'
import { FeedPanels } from '../feed/Panels.tsx'
import { IncidentLinks } from '../incident/Links.tsx'
import { RedoxPanel } from '../redox/Panel.tsx'
import { WorkList } from '../work/WorkList.tsx'
import { Findings } from './Findings.tsx'
import { OutOfUseNotice, TakeOutOfUse } from './OutOfUse.tsx'
import { ClosedFindings, Drums, Imports, Latest, Readings } from './Parts.tsx'
import { Plan } from './Plan.tsx'
import { mendedBy, planText, preparePlan } from './plan.ts'
import { changeWords, factWords, groupFindings, prepareHistories, scoreWords, sharedCautionLines } from './prepare.ts'
import { WhatIf } from './WhatIf.tsx'

const REFRESH_MS = 60_000

interface Given {
  initial: Overview
  /** What is needed to reckon; absent when it could not be had with the page. */
  snapshots?: SnapshotsAnswer
  at: string
}

export function BodyScreen({ initial, snapshots, at }: Given) {
  const { id } = initial.body
  const { data = initial, error } = useCall('getOverview', { params: { bodyId: id } }, { initial, every: REFRESH_MS })
  const reckoning = useCall('getSnapshots', { query: { bodyId: [id] } }, { initial: snapshots, every: REFRESH_MS })
  const system = useUnits()
  const now = useNow(at)
  const { body, facility, standing } = data
  const score = scoreWords(data)
  const histories = prepareHistories(data)
  const known = useMemo(() => reckoning.data && knownOf(reckoning.data, id), [reckoning.data, id])
  const planned = usePlan(data, known ?? null, now)
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
            <span className="body-working">
              {standing?.severity === 'outOfUse'
                ? 'No score: its water is not judged.'
                : 'No score: nothing recent enough to judge.'}
            </span>
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
      <OutOfUseNotice overview={data} now={now} />
      {body.retiredAt && (
        <p className="notice">This body of water is retired: it is no longer judged, its history stays.</p>
      )}
      <p className="buttons">
        <Link className="button" href={`/readings/new?bodyId=${body.id}`}>
          Enter a test
        </Link>
        <IncidentLinks overview={data} />
        <Link className="button quiet" href={`/imports/new?facilityId=${facility.id}`}>
          Load an export
        </Link>
        <Link className="button quiet" href={`/facilities/${facility.id}`}>
          The plant
        </Link>
        <TakeOutOfUse overview={data} />
      </p>
      <p className="caution-line">{CAUTIONS.localCodeFirst}</p>
      <nav aria-label="On this page" className="jumps">
        <a href="#wrong">What is wrong</a>
        {planned && <a href="#do-now">What to do now</a>}
        {planned && <a href="#what-if">What if</a>}
        <a href="#redox">Redox</a>
        <a href="#feed">Feed</a>
        <a href="#history">The last 7 days</a>
        <a href="#readings">Recent tests</a>
      </nav>
      <div className="body-columns">
        <Findings
          groups={groupFindings(data, system, now, planned?.said)}
          cautions={sharedCautionLines(data, planned?.said)}
          severity={standing?.severity ?? 'unheard'}
          cautionsInPlan={(planned?.said.cautions.length ?? 0) > 0}
        />
        <div className="body-side">
          <Latest overview={data} now={now} />
          <Drums overview={data} now={now} />
        </div>
      </div>
      {planned && known && (
        <>
          <Plan
            model={planned.model}
            text={planText(planned.model, data)}
            testHref={`/readings/new?bodyId=${id}`}
            onSite={planned.onSite}
          />
          <WhatIf known={known} base={planned.base} onSite={planned.onSite.chemicals} now={now} />
        </>
      )}
      {known === null && body.retiredAt === null && (
        <p className="notice">
          The code profile of this facility is not there any more: nothing can be worked out by it.
        </p>
      )}
      {reckoning.error && !reckoning.data && (
        <ProblemNote error={reckoning.error}> Without it no dose can be worked out here.</ProblemNote>
      )}
      <RedoxPanel overview={data} />
      <FeedPanels overview={data} />
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
      <WorkList overview={data} now={now} />
      <Imports overview={data} now={now} />
      <ClosedFindings overview={data} now={now} />
    </main>
  )
}

/** What to do, worked out here from what is known; null for a body that is not judged, and until it is known. */
function usePlan(overview: Overview, known: Known | null, now: number) {
  const system = useUnits()
  const zone = overview.facility.timeZone
  const onSite = useOnSite(overview.body.id, known?.snapshot ?? null)
  const { options } = onSite
  const planned = useMemo(() => {
    if (!known) return null
    const plan = planFor(known.snapshot, known.profile, now, options)
    const model = preparePlan(known, plan, { system, zone, nowMs: now })
    return {
      model,
      base: plan.water && { water: plan.water, untested: plan.untested },
      said: { cautions: model.cautions, mended: mendedBy(known, plan, now) },
    }
  }, [known, now, system, zone, options])
  return planned && { ...planned, onSite }
}

/** Said once after a test was stored: how the standing changed. */
function Changed({ overview }: { overview: Overview }) {
  const [before, setBefore] = useState<Before | null>(null)
  useEffect(() => setBefore(takeBefore(overview.body.id)), [overview.body.id])
  return before && <output className="notice notice-good">{changeWords(before, overview)}</output>
}
