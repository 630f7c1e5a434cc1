'use client'
import type { Overview } from '@sightglass/contract'
import Link from 'next/link'
import { ProblemNote } from '../../shared/Problem.tsx'
import { useCall } from '../../shared/useCall.ts'
import { workLine } from './words.ts'

const SHOWN = 10

/** What was done at a body lately, and the way to log more. */
export function WorkList({ overview: { body, facility }, now }: { overview: Overview; now: number }) {
  const { data, error } = useCall('listWork', { params: { bodyId: body.id }, query: { limit: SHOWN } })
  return (
    <section aria-labelledby="work">
      <h2 id="work">Work</h2>
      {body.retiredAt === null && (
        <p className="buttons">
          <Link className="button quiet" href={`/bodies/${body.id}/work/new`}>
            Log work
          </Link>
        </p>
      )}
      {error && <ProblemNote error={error} />}
      {!data && !error && <p className="faint">Reading what was done …</p>}
      {data?.total === 0 && (
        <p className="faint">No work is logged yet. Cleaned a probe, moved a set point, served a feeder? Log it.</p>
      )}
      <ul className="plain-list">
        {data?.items
          .map((work) => workLine(work, facility.timeZone, now))
          .map((line) => (
            <li key={line.id}>
              <span suppressHydrationWarning>{line.at}</span> <strong>{line.what}</strong>{' '}
              <span className="faint">{line.who}</span> {line.note}{' '}
              {line.corrected && <em className="faint">{line.corrected}</em>}{' '}
              {body.retiredAt === null && (
                <Link
                  className="row-action"
                  href={line.correctHref}
                  aria-label={`Correct the work of ${line.at}`}
                  prefetch={false}
                >
                  Correct
                </Link>
              )}
            </li>
          ))}
      </ul>
      {data && data.total > SHOWN && (
        <p className="faint">
          The newest {SHOWN} of {data.total}.
        </p>
      )}
    </section>
  )
}
