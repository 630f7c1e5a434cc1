'use client'
import type { Overview } from '@sightglass/contract'
import Link from 'next/link'
import { useMemo } from 'react'
import { Plot } from '../../charts/draw/Plot.tsx'
import { Lines, Missing } from '../../shared/Lines.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { useUnits } from '../../shared/Units.tsx'
import { useCall } from '../../shared/useCall.ts'
import { WideTable } from '../../shared/WideTable.tsx'
import { type PairTable, type PhModel, prepareRedox, type RedoxModel, type SetPointModel } from './prepare.ts'

const REFRESH_MS = 300_000

/** What a body's ORP and pH mean; loaded by itself, so that the rest of the page need not wait. */
export function RedoxPanel({ overview: { body, facility } }: { overview: Overview }) {
  const { data, error } = useCall('getRedox', { params: { bodyId: body.id } }, { every: REFRESH_MS })
  const system = useUnits()
  const model = useMemo(
    () => data && prepareRedox(data, { bodyId: body.id, system, zone: facility.timeZone }),
    [data, body.id, system, facility.timeZone],
  )
  return (
    <section aria-labelledby="redox" className="panel" aria-busy={!model && !error}>
      <h2 id="redox">Redox</h2>
      {error && !model && <ProblemNote error={error}> What ORP means cannot be shown.</ProblemNote>}
      {!model && !error && <p className="faint">Working out what ORP means here …</p>}
      {model && <Redox model={model} bodyId={body.id} retired={body.retiredAt !== null} />}
    </section>
  )
}

function Redox({ model, bodyId, retired }: { model: RedoxModel; bodyId: string; retired: boolean }) {
  return (
    <>
      <Missing
        lines={model.missing}
        way={retired ? null : { href: `/readings/new?bodyId=${bodyId}`, words: 'Enter a test' }}
      />
      {model.setPoint && <SetPoint model={model.setPoint} />}
      {model.told && <p className="panel-lead">{model.told}</p>}
      {(model.curve || model.course) && (
        <div className="charts">
          {model.curve && <Plot model={model.curve} />}
          {model.course && <Plot model={model.course} />}
        </div>
      )}
      <div className="panel-columns">
        {model.drift && (
          <div className="panel-part">
            <h3>Does ORP still mean what it meant?</h3>
            <p>{model.drift.told}</p>
            <Lines lines={model.drift.reasons} />
            {model.drift.parts.length > 0 && (
              <WideTable label="What moved ORP in the same water">
                <table className="ledger">
                  <thead>
                    <tr>
                      <th scope="col">What moved it</th>
                      <th scope="col">From, to</th>
                      <th scope="col">ORP of one reading</th>
                    </tr>
                  </thead>
                  <tbody>
                    {model.drift.parts.map(({ name, change, moved }) => (
                      <tr key={name}>
                        <th scope="row">{name}</th>
                        <td>{change}</td>
                        <td>{moved}</td>
                      </tr>
                    ))}
                  </tbody>
                </table>
              </WideTable>
            )}
            {model.drift.untested && <p className="faint">{model.drift.untested}</p>}
            <Done lines={model.done} />
          </div>
        )}
        {model.phProbe && <PhProbe model={model.phProbe} />}
      </div>
      {model.pairs && <Pairs table={model.pairs} />}
      <p className="faint" suppressHydrationWarning>
        {model.basis}
      </p>
    </>
  )
}

const SHOWN = 4

/** What was done lately; the rest on demand. */
function Done({ lines }: { lines: readonly string[] }) {
  if (lines.length === 0) return null
  return (
    <>
      <h4>Since when the same water may show something else</h4>
      <Lines lines={lines.slice(0, SHOWN)} />
      {lines.length > SHOWN && (
        <details className="working">
          <summary>{lines.length - SHOWN} before that</summary>
          <Lines lines={lines.slice(SHOWN)} />
        </details>
      )}
    </>
  )
}

function SetPoint({ model }: { model: SetPointModel }) {
  return (
    <div className={`set-point set-point-${model.action}`}>
      <h3>{model.head}</h3>
      <dl className="panel-values">
        {model.values.map(({ label, value }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <Lines lines={model.reasons} />
      {model.logHref && (
        <>
          <div className="cautions">
            {model.cautions.map((line) => (
              <p key={line}>{line}</p>
            ))}
          </div>
          <p className="buttons">
            <Link className="button" href={model.logHref}>
              Log that it was moved
            </Link>
          </p>
        </>
      )}
    </div>
  )
}

function PhProbe({ model }: { model: PhModel }) {
  return (
    <div className="panel-part">
      <h3>Does the pH probe agree with the test kit?</h3>
      <p>{model.told}</p>
      <Lines lines={model.calibrateBy ? [...model.reasons, model.calibrateBy] : model.reasons} />
      {model.chart && <Plot model={model.chart} />}
    </div>
  )
}

function Pairs({ table }: { table: PairTable }) {
  return (
    <details className="working">
      <summary>The {table.rows.length} pairs as a table</summary>
      <WideTable label="Pairs of test and ORP">
        <table className="ledger unbroken">
          <thead>
            <tr>
              <th scope="col">Time</th>
              <th scope="col" className="number">
                {table.reading} <span className="unit">{table.unit}</span>
              </th>
              <th scope="col" className="number">
                pH
              </th>
              <th scope="col" className="number">
                {table.acid} <span className="unit">{table.unit}</span>
              </th>
              <th scope="col" className="number">
                ORP seen <span className="unit">mV</span>
              </th>
              <th scope="col" className="number">
                Expected <span className="unit">mV</span>
              </th>
              <th scope="col" className="number">
                Apart <span className="unit">mV</span>
              </th>
              <th scope="col" className="number">
                Counts
              </th>
              <th scope="col">Note</th>
            </tr>
          </thead>
          <tbody>
            {table.rows.map(({ atMs, at, cells, note }) => (
              <tr key={atMs}>
                <th scope="row" suppressHydrationWarning>
                  {at}
                </th>
                {cells.map((cell, index) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: columns never change their order
                  <td key={index} className="number">
                    {cell}
                  </td>
                ))}
                <td>{note}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
    </details>
  )
}
