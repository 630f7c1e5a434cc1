'use client'
import { keepPreviousData, useQuery } from '@tanstack/react-query'
import Link from 'next/link'
import { useState } from 'react'
import { call } from '../../lib/api.ts'
import { Field } from '../../shared/Field.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { SeverityLabel } from '../../shared/Severity.tsx'
import { keyOf } from '../../shared/useCall.ts'

/** Which body was tested? */
export function ChooseScreen() {
  const [q, setQ] = useState('')
  const query = { q: q.trim() || undefined, limit: 30, sort: 'facility' as const }
  const { data, error } = useQuery({
    queryKey: keyOf('getTriage', { query }),
    queryFn: ({ signal }) => call('getTriage', { query, signal }),
    placeholderData: keepPreviousData,
  })
  return (
    <main className="page form-page" id="main">
      <h1>Enter a test</h1>
      <p className="lead">
        Which body of water? For a whole paper sheet there is the <Link href="/readings/sheet">log sheet</Link>.
      </p>
      <Field label="Facility or body of water">
        {(ids) => <input type="search" value={q} onChange={(event) => setQ(event.target.value)} {...ids} />}
      </Field>
      {error && <ProblemNote error={error} />}
      <ul className="choose-list" aria-label="Bodies of water">
        {data?.rows.map((row) => (
          <li key={row.bodyId}>
            <Link href={`/readings/new?bodyId=${row.bodyId}`} prefetch={false}>
              <strong>{row.bodyName}</strong> <span>{row.facilityName}</span>
            </Link>
            <SeverityLabel severity={row.severity} />
          </li>
        ))}
      </ul>
      {data?.rows.length === 0 && <p>Nothing has that in its name.</p>}
    </main>
  )
}
