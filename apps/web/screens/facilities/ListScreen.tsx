'use client'
import type { FacilityListed } from '@sightglass/contract'
import { keepPreviousData, useQuery } from '@tanstack/react-query'
import Link from 'next/link'
import { useState } from 'react'
import { call } from '../../lib/api.ts'
import { Empty } from '../../shared/Empty.tsx'
import { counted, whole } from '../../shared/numbers.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { keyOf } from '../../shared/useCall.ts'
import { WideTable } from '../../shared/WideTable.tsx'

const SHOWN = 200

export function FacilitiesScreen({ initial }: { initial: { items: FacilityListed[]; total: number } }) {
  const [q, setQ] = useState('')
  const [retired, setRetired] = useState(false)
  const query = { q: q.trim() || undefined, limit: SHOWN, ...(retired && { retired: 'true' as const }) }
  const { data = initial, error } = useQuery({
    queryKey: keyOf('listFacilities', { query }),
    queryFn: ({ signal }) => call('listFacilities', { query, signal }),
    placeholderData: keepPreviousData,
    initialData: q.trim() === '' && !retired ? initial : undefined,
  })
  const nothingAtAll = data.total === 0 && q.trim() === '' && !retired
  return (
    <main className="page" id="main">
      <header className="page-head">
        <h1>Facilities</h1>
        <Link className="button" href="/facilities/new">
          Create a facility
        </Link>
      </header>
      {nothingAtAll ? (
        <Empty title="No facility yet">
          <p>A facility is a customer’s property. Create the first one, then its bodies of water and equipment.</p>
          <Link className="button" href="/facilities/new">
            Create a facility
          </Link>
        </Empty>
      ) : (
        <>
          <search className="filters">
            <label className="search-box">
              <span className="unseen">Search facilities</span>
              <input
                type="search"
                placeholder="Name, address or area"
                value={q}
                onChange={({ target }) => setQ(target.value)}
              />
            </label>
            <label className="inline-check">
              <input type="checkbox" checked={retired} onChange={({ target }) => setRetired(target.checked)} />
              <span>Show retired ones too</span>
            </label>
            <span className="faint" aria-live="polite">
              {counted(data.total, 'facility', 'facilities')}
              {data.total > data.items.length && `, the first ${data.items.length} shown: search for more`}
            </span>
          </search>
          {error && <ProblemNote error={error} />}
          <WideTable label="Facilities">
            <table className="ledger">
              <thead>
                <tr>
                  <th scope="col">Facility</th>
                  <th scope="col">Area</th>
                  <th scope="col">Address</th>
                  <th scope="col" className="number">
                    Bodies
                  </th>
                </tr>
              </thead>
              <tbody>
                {data.items.map((facility) => (
                  <tr key={facility.id}>
                    <th scope="row">
                      <Link href={`/facilities/${facility.id}`} prefetch={false}>
                        {facility.name}
                      </Link>
                      {facility.retiredAt && <span className="faint"> retired</span>}
                    </th>
                    <td>{facility.area}</td>
                    <td>{facility.address}</td>
                    <td className="number">{whole(facility.bodies)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </WideTable>
          {data.items.length === 0 && <p>No facility matches.</p>}
        </>
      )}
    </main>
  )
}
