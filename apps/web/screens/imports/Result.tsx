'use client'
import type { ImportDetail, Plant } from '@sightglass/contract'
import Link from 'next/link'
import { useState } from 'react'
import { rejectsUrl } from '../../lib/api.ts'
import { TextField } from '../../shared/Field.tsx'
import { counted } from '../../shared/numbers.ts'
import { WideTable } from '../../shared/WideTable.tsx'
import { prepareCounts } from './prepare.ts'

/** What would come in after a check, what came in after the import. */
export function Result({
  detail,
  plant,
  now,
  onRun,
}: {
  detail: ImportDetail
  plant: Plant
  now: number
  onRun: (rememberAs: string) => void
}) {
  const [rememberAs, setRememberAs] = useState(detail.layoutName ?? '')
  const model = prepareCounts(detail, plant, now)
  if (!model) return null
  const done = detail.state === 'done'
  return (
    <section aria-labelledby="result" className="result">
      <h2 id="result">{done ? 'What came in' : 'What would come in'}</h2>
      <dl className="counted">
        {model.lines.map(({ words, number, meaning }) => (
          <div key={words}>
            <dt>
              {words} {meaning && <span className="faint">({meaning})</span>}
            </dt>
            <dd>{number}</dd>
          </div>
        ))}
      </dl>
      {model.bodies.length > 0 && (
        <WideTable label="Bodies of water">
          <table className="ledger result-bodies">
            <thead>
              <tr>
                <th scope="col">Body of water</th>
                <th scope="col" className="number">
                  Samples
                </th>
                <th scope="col">From and to, the facility’s clock</th>
              </tr>
            </thead>
            <tbody>
              {model.bodies.map((body) => (
                <tr key={body.bodyId}>
                  <th scope="row">
                    <Link href={`/bodies/${body.bodyId}`}>{body.name}</Link>
                  </th>
                  <td className="number">{body.samples}</td>
                  <td>{body.span}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </WideTable>
      )}
      <Rejects detail={detail} />
      {done ? (
        <p className="buttons">
          <Link className="button" href="/">
            To the morning list
          </Link>
          <Link className="button quiet" href={`/imports/new?facilityId=${plant.facility.id}`}>
            Load another file
          </Link>
        </p>
      ) : (
        <form
          className="run-form"
          onSubmit={(event) => {
            event.preventDefault()
            onRun(rememberAs.trim())
          }}
        >
          <TextField
            label="Remember this layout as"
            hint="The next file like it is then recognised. Leave it empty if this file is the only one of its kind."
            value={rememberAs}
            maxLength={120}
            onChange={(event) => setRememberAs(event.target.value)}
          />
          <button type="submit" className="button">
            Import
          </button>
        </form>
      )}
    </section>
  )
}

function Rejects({ detail }: { detail: ImportDetail }) {
  const rejected = detail.counts?.rejected ?? 0
  if (rejected === 0) return null
  return (
    <section aria-labelledby="rejects" className="rejects">
      <h3 id="rejects">
        {counted(rejected, 'row')} left out{' '}
        <a href={rejectsUrl(detail.id)} download>
          Download them all
        </a>
      </h3>
      <WideTable label="Rows left out">
        <table className="ledger">
          <thead>
            <tr>
              <th scope="col" className="number">
                Line
              </th>
              <th scope="col">Column</th>
              <th scope="col">Value</th>
              <th scope="col">Why</th>
            </tr>
          </thead>
          <tbody>
            {detail.firstRejects.map(({ line, column, value, reason }, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: one line may be rejected twice for the same column
              <tr key={index}>
                <td className="number">{line}</td>
                <td>{column}</td>
                <td>
                  <code>{value}</code>
                </td>
                <td>{reason}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
      {detail.firstRejects.length < rejected && (
        <p className="faint">The first {detail.firstRejects.length} are shown.</p>
      )}
    </section>
  )
}
