'use client'
import type { TriageAnswer } from '@sightglass/contract'
import { useSearchParams } from 'next/navigation'
import { useMemo } from 'react'
import { Empty } from '../../shared/Empty.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { clockTime } from '../../shared/time.ts'
import { useZone } from '../../shared/useZone.ts'
import { Filters } from './Filters.tsx'
import { List } from './List.tsx'
import { totalWords } from './prepare.ts'
import { EVERYTHING, isNarrowed, readView, type TriageView, writeView } from './query.ts'
import { SeverityCounts } from './SeverityCounts.tsx'
import { usePages } from './usePages.ts'

export function TriageScreen({ initial }: { initial: TriageAnswer }) {
  const zone = useZone()
  const search = useSearchParams()
  const view = useMemo(() => readView(search), [search])
  const pages = usePages(view, initial)
  const { latest } = pages

  const show = (change: Partial<TriageView>, { replace = false } = {}) => {
    const address = writeView({ ...view, ...change })
    if (replace) window.history.replaceState(null, '', address)
    else window.history.pushState(null, '', address)
    window.scrollTo({ top: 0 })
  }
  const everything = () => show({ ...EVERYTHING, sort: view.sort, byFacility: view.byFacility })

  return (
    <main className="triage" id="main">
      <header className="triage-head">
        <h1>Morning triage</h1>
        <p className="triage-total" aria-live="polite">
          {totalWords(latest.total, isNarrowed(pages.view))}
          {zone && <span className="faint">, as of {clockTime(latest.at, zone)}</span>}
          {pages.updating && !pages.error && <span className="faint">; updating …</span>}
        </p>
        <SeverityCounts counts={latest.counts} chosen={view.severity} onChange={(severity) => show({ severity })} />
      </header>
      <Filters
        view={view}
        choices={latest.choices}
        facilityName={pages.facilityName}
        onChange={show}
        onClear={everything}
      />
      {pages.error && (
        <ProblemNote error={pages.error}>
          {zone && ` What is below is from ${clockTime(latest.at, zone)}`}
          {zone && (pages.updating ? ', before you changed what the list shows.' : '.')}
        </ProblemNote>
      )}
      {latest.total > 0 ? (
        <List pages={pages} />
      ) : isNarrowed(pages.view) ? (
        <Empty title="No body of water matches">
          <p>Every filter narrows the list further.</p>
          <button type="button" className="button" onClick={everything}>
            Take the filters away
          </button>
        </Empty>
      ) : (
        <NothingYet />
      )}
    </main>
  )
}

function NothingYet() {
  return (
    <Empty title="No body of water yet">
      <p>Begin with a facility and its plant; then load what its controllers exported, or write down a test.</p>
      <p className="buttons">
        <a className="button" href="/facilities/new">
          Create a facility
        </a>
        <a className="button quiet" href="/imports/new">
          Load a controller export
        </a>
      </p>
    </Empty>
  )
}
