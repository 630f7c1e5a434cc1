'use client'
import type { Overview } from '@sightglass/contract'
import Link from 'next/link'
import { SeverityLabel } from '../../shared/Severity.tsx'
import { useUnits } from '../../shared/Units.tsx'
import { Value } from '../../shared/Value.tsx'
import { WideTable } from '../../shared/WideTable.tsx'
import { prepareClosed, prepareDrums, prepareImports, prepareLatest, prepareReadings } from './prepare.ts'

interface Given {
  overview: Overview
  now: number
}

export function Latest({ overview, now }: Given) {
  const latest = prepareLatest(overview, useUnits(), now)
  return (
    <section aria-labelledby="latest">
      <h2 id="latest">Latest values</h2>
      {latest.length === 0 && <p className="faint">Nothing has been measured yet.</p>}
      <ul className="latest">
        {latest.map(({ thing, value, source, age, exact, whose }) => (
          <li key={thing} title={whose || undefined}>
            <Value model={value} />
            <span className="latest-from" suppressHydrationWarning>
              {source}, <span title={exact}>{age}</span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}

export function Drums({ overview, now }: Given) {
  const drums = prepareDrums(overview, useUnits(), now)
  if (drums.length === 0) return null
  return (
    <section aria-labelledby="drums">
      <h2 id="drums">Chemical</h2>
      <ul className="drums">
        {drums.map((drum) => (
          <li key={drum.id}>
            <span className="drum-name">
              {drum.name} <span className="faint">{drum.content}</span>
            </span>
            <span className="drum-days">{drum.daysLeft}</span>
            <span className="drum-bar" aria-hidden="true">
              {drum.share !== null && <span style={{ width: `${drum.share * 100}%` }} />}
            </span>
            <span className="faint" suppressHydrationWarning>
              {drum.level} {drum.levelAge}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}

export function Readings({ overview, now }: Given) {
  const table = prepareReadings(overview, useUnits(), now)
  return (
    <section aria-labelledby="readings">
      <h2 id="readings">Recent tests</h2>
      {table.rows.length === 0 ? (
        <p>
          No test yet. <Link href={`/readings/new?bodyId=${overview.body.id}`}>Enter the first one</Link>.
        </p>
      ) : (
        <WideTable label="Recent tests">
          <table className="ledger unbroken">
            <thead>
              <tr>
                <th scope="col">Time</th>
                {table.columns.map(({ key, title, unit }) => (
                  <th scope="col" key={key} className="number">
                    {title} {unit && <span className="unit">{unit}</span>}
                  </th>
                ))}
                <th scope="col">Display showed</th>
                <th scope="col">By</th>
                <th scope="col">Note</th>
              </tr>
            </thead>
            <tbody>
              {table.rows.map((row) => (
                <tr key={row.id}>
                  <th scope="row">
                    <span suppressHydrationWarning>{row.at}</span>{' '}
                    <Link
                      className="row-action"
                      href={row.correctHref}
                      aria-label={`Correct the test of ${row.at}`}
                      prefetch={false}
                    >
                      Correct
                    </Link>
                  </th>
                  {row.cells.map((cell, index) => (
                    <td key={table.columns[index]?.key} className="number">
                      {cell || <span className="unseen">not tested</span>}
                    </td>
                  ))}
                  <td>{row.display}</td>
                  <td>{row.who}</td>
                  <td className="words">
                    {row.note} {row.corrected && <em className="faint">{row.corrected}</em>}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </WideTable>
      )}
    </section>
  )
}

export function Imports({ overview, now }: Given) {
  const imports = prepareImports(overview, now)
  if (imports.length === 0) return null
  return (
    <section aria-labelledby="imports">
      <h2 id="imports">Recent imports</h2>
      <ul className="plain-list">
        {imports.map((item) => (
          <li key={item.id}>
            <Link href={`/imports/${item.id}`} prefetch={false}>
              {item.fileName}
            </Link>{' '}
            <span className="faint" suppressHydrationWarning>
              {item.when}, {item.person}: {item.what}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}

export function ClosedFindings({ overview, now }: Given) {
  const closed = prepareClosed(overview, useUnits(), now)
  if (closed.length === 0) return null
  return (
    <section aria-labelledby="closed">
      <h2 id="closed">What was wrong before</h2>
      <ul className="plain-list closed-findings">
        {closed.map((finding) => (
          <li key={finding.id}>
            <SeverityLabel severity={finding.severity} /> <strong>{finding.title}</strong>. {finding.sentence}{' '}
            <span className="faint" suppressHydrationWarning>
              {finding.life}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}
