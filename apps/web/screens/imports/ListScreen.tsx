'use client'
import type { ImportRecord } from '@sightglass/contract'
import Link from 'next/link'
import { Empty } from '../../shared/Empty.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { useCall } from '../../shared/useCall.ts'
import { useNow } from '../../shared/useNow.ts'
import { useZone } from '../../shared/useZone.ts'
import { WideTable } from '../../shared/WideTable.tsx'
import { isWorking, prepareListed } from './prepare.ts'

const WORKING_MS = 1000
const QUIET_MS = 30_000

export function ImportsScreen({ initial, at }: { initial: { items: ImportRecord[]; total: number }; at: string }) {
  const { data = initial, error } = useCall(
    'listImports',
    { query: { limit: 100 } },
    { initial, every: (now) => (now?.items.some(({ state }) => isWorking(state)) ? WORKING_MS : QUIET_MS) },
  )
  const zone = useZone() ?? 'UTC'
  const now = useNow(at)
  return (
    <main className="page" id="main">
      <header className="page-head">
        <h1>Imports</h1>
        <Link className="button" href="/imports/new">
          Load a controller export
        </Link>
      </header>
      {error && <ProblemNote error={error} />}
      {data.items.length === 0 ? (
        <Empty title="Nothing has been imported yet">
          <p>Take the file that a controller exported, in whatever layout it writes, and load it here.</p>
          <Link className="button" href="/imports/new">
            Load a controller export
          </Link>
        </Empty>
      ) : (
        <WideTable label="Imports">
          <table className="ledger">
            <thead>
              <tr>
                <th scope="col">File</th>
                <th scope="col">Facility</th>
                <th scope="col">State</th>
                <th scope="col" className="number">
                  Samples stored
                </th>
                <th scope="col" className="number">
                  Rows left out
                </th>
                <th scope="col">Loaded</th>
                <th scope="col">By</th>
              </tr>
            </thead>
            <tbody>
              {data.items.map((record) => {
                const item = prepareListed(record, zone, now)
                return (
                  <tr key={item.id}>
                    <th scope="row">
                      <Link href={`/imports/${item.id}`} prefetch={false}>
                        {item.fileName}
                      </Link>{' '}
                      <span className="faint">{item.size}</span>
                    </th>
                    <td>{item.facilityName}</td>
                    <td>{item.state}</td>
                    <td className="number">{item.stored}</td>
                    <td className="number">{item.rejected}</td>
                    <td suppressHydrationWarning>{item.when}</td>
                    <td>{item.person}</td>
                  </tr>
                )
              })}
            </tbody>
          </table>
        </WideTable>
      )}
    </main>
  )
}
