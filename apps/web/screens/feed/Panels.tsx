'use client'
import type { Overview } from '@sightglass/contract'
import { useMemo } from 'react'
import { Plot } from '../../charts/draw/Plot.tsx'
import { Lines, Missing } from '../../shared/Lines.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { useUnits } from '../../shared/Units.tsx'
import { useCall } from '../../shared/useCall.ts'
import { WideTable } from '../../shared/WideTable.tsx'
import { type DrumModel, type EffortModel, prepareFeed, type SettingsModel } from './prepare.ts'

const REFRESH_MS = 300_000

/** What the feeders do, how long the drums last, how the feeds should be set; loaded by itself. */
export function FeedPanels({ overview: { body, facility } }: { overview: Overview }) {
  const { data, error } = useCall('getFeed', { params: { bodyId: body.id } }, { every: REFRESH_MS })
  const system = useUnits()
  const model = useMemo(() => data && prepareFeed(data, { system, zone: facility.timeZone }), [data, system, facility])
  const plant = { href: `/facilities/${facility.id}`, words: 'To the plant' }
  return (
    <>
      <section aria-labelledby="feed" className="panel" aria-busy={!model && !error}>
        <h2 id="feed">Feed effort</h2>
        {error && !model && <ProblemNote error={error}> What the feeders do cannot be shown.</ProblemNote>}
        {!model && !error && <p className="faint">Adding up what the feeders ran …</p>}
        {model && <Missing lines={model.missing} way={plant} />}
        {model && (
          <div className="charts">
            {model.effort.map((one) => (
              <Effort key={one.role} model={one} />
            ))}
          </div>
        )}
      </section>
      {model && model.drums.length > 0 && (
        <section aria-labelledby="drum-forecast" className="panel">
          <h2 id="drum-forecast">Drums</h2>
          <div className="charts">
            {model.drums.map((one) => (
              <Drum key={one.id} model={one} />
            ))}
          </div>
        </section>
      )}
      {model && model.settings.length > 0 && (
        <section aria-labelledby="feed-settings" className="panel">
          <h2 id="feed-settings">Feed settings</h2>
          <p className="panel-lead">
            A controller feeds, waits until it sees what came of it, and feeds again. Too long an on-time goes beyond
            the set point, worst with acid. The picture shows how the settings act on a model of this body; it is no
            forecast.
          </p>
          <div className="charts">
            {model.settings.map((one) => (
              <Settings key={one.id} model={one} plant={plant} />
            ))}
          </div>
        </section>
      )}
    </>
  )
}

function Effort({ model }: { model: EffortModel }) {
  return (
    <div className="panel-part">
      <h3>{model.title}</h3>
      <p>{model.usual}</p>
      {model.chart && <Plot model={model.chart} />}
      {model.days.length > 0 && (
        <details className="working">
          <summary>Day by day</summary>
          <WideTable label={`${model.title}, day by day`}>
            <table className="ledger">
              <thead>
                <tr>
                  <th scope="col">Day</th>
                  <th scope="col" className="number">
                    Ran
                  </th>
                </tr>
              </thead>
              <tbody>
                {model.days.map(({ fromMs, day, ran }) => (
                  <tr key={fromMs}>
                    <th scope="row">{day}</th>
                    <td className="number">{ran}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </WideTable>
        </details>
      )}
    </div>
  )
}

function Drum({ model }: { model: DrumModel }) {
  return (
    <div className="panel-part">
      <h3>
        {model.title} <span className="faint">{model.what}</span>
      </h3>
      <p>
        <strong>{model.head}</strong>
      </p>
      <Lines lines={model.told} />
      {model.chart && <Plot model={model.chart} />}
      {model.values.length > 0 && (
        <dl className="panel-values">
          {model.values.map(({ label, value }) => (
            <div key={label}>
              <dt suppressHydrationWarning>{label}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      )}
      {model.levels.length > 0 && (
        <details className="working">
          <summary>The readings</summary>
          <WideTable label={`Levels of ${model.title}`}>
            <table className="ledger">
              <thead>
                <tr>
                  <th scope="col">Time</th>
                  <th scope="col" className="number">
                    Level
                  </th>
                  <th scope="col" className="number">
                    Filled in before
                  </th>
                </tr>
              </thead>
              <tbody>
                {model.levels.map(({ atMs, at, level, delivered }) => (
                  <tr key={atMs}>
                    <th scope="row">{at}</th>
                    <td className="number">{level}</td>
                    <td className="number">{delivered || <span className="unseen">nothing</span>}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </WideTable>
        </details>
      )}
    </div>
  )
}

function Settings({ model, plant }: { model: SettingsModel; plant: { href: string; words: string } }) {
  return (
    <div className="panel-part">
      <h3>{model.title}</h3>
      {model.told && <p>{model.told}</p>}
      <Missing lines={model.missing} way={plant} />
      {model.chart && <Plot model={model.chart} />}
      {model.rows.length > 0 && (
        <WideTable label={`Settings of ${model.title}`}>
          <table className="ledger">
            <thead>
              <tr>
                <th scope="col">Setting</th>
                <th scope="col">Today</th>
                <th scope="col">Advised</th>
              </tr>
            </thead>
            <tbody>
              {model.rows.map(({ label, today, advised }) => (
                <tr key={label}>
                  <th scope="row">{label}</th>
                  <td>{today || <span className="unseen">nothing</span>}</td>
                  <td>{advised}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </WideTable>
      )}
      {model.working.length > 0 && (
        <details className="working">
          <summary>How the advice was worked out</summary>
          <ul>
            {[...model.working, ...model.assumed].map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </details>
      )}
      {model.cautions.length > 0 && (
        <div className="cautions">
          {model.cautions.map((line) => (
            <p key={line}>{line}</p>
          ))}
        </div>
      )}
    </div>
  )
}
