'use client'
import { FINDING_TITLES } from '@sightglass/chemistry'
import type { TriageAnswer } from '@sightglass/contract'
import { useEffect, useRef, useState } from 'react'
import { FacilityPicker } from '../../shared/FacilityPicker.tsx'
import { whole } from '../../shared/numbers.ts'
import { SANITIZER_WORDS } from '../../shared/words.ts'
import { SORT_WORDS } from './prepare.ts'
import { isNarrowed, type TriageSort, type TriageView, toggled } from './query.ts'

type Change = (change: Partial<TriageView>, how?: { replace?: boolean }) => void

export function Filters({
  view,
  choices,
  facilityName,
  onChange,
  onClear,
}: {
  view: TriageView
  choices: TriageAnswer['choices']
  facilityName: string | null
  onChange: Change
  onClear: () => void
}) {
  const picked = view.facilityId ? { id: view.facilityId, name: facilityName ?? 'One facility', timeZone: '' } : null
  return (
    <search className="filters">
      <SearchBox q={view.q} onChange={(q) => onChange({ q }, { replace: true })} />
      <Menu title="Finding" chosen={view.kind.length}>
        <Choices
          legend="Kind of finding"
          items={choices.kinds.map(({ kind, bodies }) => ({ key: kind, label: FINDING_TITLES[kind], bodies }))}
          chosen={view.kind}
          onToggle={(kind) => onChange({ kind: toggled(view.kind, kind) })}
        />
      </Menu>
      <Menu title="Area" chosen={view.area.length}>
        <Choices
          legend="Technician area"
          items={choices.areas.map(({ area, bodies }) => ({ key: area, label: area || 'no area', bodies }))}
          chosen={view.area}
          onToggle={(area) => onChange({ area: toggled(view.area, area) })}
        />
      </Menu>
      <Menu title="Sanitizer" chosen={view.sanitizerSystem.length}>
        <Choices
          legend="Sanitizer system"
          items={choices.sanitizerSystems.map(({ sanitizerSystem, bodies }) => ({
            key: sanitizerSystem,
            label: SANITIZER_WORDS[sanitizerSystem],
            bodies,
          }))}
          chosen={view.sanitizerSystem}
          onToggle={(system) => onChange({ sanitizerSystem: toggled(view.sanitizerSystem, system) })}
        />
      </Menu>
      <Menu title="Facility" chosen={picked ? 1 : 0}>
        <FacilityPicker
          label="Only this facility"
          picked={picked}
          onPick={(facility) => onChange({ facilityId: facility?.id ?? '' })}
        />
      </Menu>
      <label className="inline-field">
        <span>Order</span>
        <select value={view.sort} onChange={(event) => onChange({ sort: event.target.value as TriageSort })}>
          {Object.entries(SORT_WORDS).map(([sort, words]) => (
            <option key={sort} value={sort}>
              {words}
            </option>
          ))}
        </select>
      </label>
      <label className="inline-check">
        <input
          type="checkbox"
          checked={view.byFacility}
          onChange={(event) => onChange({ byFacility: event.target.checked })}
        />
        <span>Group by facility</span>
      </label>
      {isNarrowed(view) && (
        <button type="button" className="link-button" onClick={onClear}>
          Clear filters
        </button>
      )}
    </search>
  )
}

const TYPING_PAUSE_MS = 200

function SearchBox({ q, onChange }: { q: string; onChange: (q: string) => void }) {
  const [text, setText] = useState(q)
  const sent = useRef(q)
  // The address may change under the box: the back button, or filters taken away.
  useEffect(() => {
    if (q !== sent.current) setText(q)
    sent.current = q
  }, [q])
  useEffect(() => {
    if (text.trim() === sent.current) return
    const timer = setTimeout(() => {
      sent.current = text.trim()
      onChange(text.trim())
    }, TYPING_PAUSE_MS)
    return () => clearTimeout(timer)
  }, [text, onChange])
  return (
    <label className="search-box">
      <span className="unseen">Search facility, body or area</span>
      <input
        id="triage-search"
        type="search"
        placeholder="Facility, body or area"
        value={text}
        maxLength={100}
        onChange={(event) => setText(event.target.value)}
      />
    </label>
  )
}

/** A small panel that opens below its button and closes at a click elsewhere or Escape. */
function Menu({ title, chosen, children }: { title: string; chosen: number; children: React.ReactNode }) {
  const ref = useRef<HTMLDetailsElement>(null)
  useEffect(() => {
    const close = (event: Event) => {
      const details = ref.current
      if (!details?.open) return
      if (event instanceof KeyboardEvent) {
        if (event.key !== 'Escape') return
        details.querySelector('summary')?.focus()
      } else if (details.contains(event.target as Node)) return
      details.open = false
    }
    document.addEventListener('pointerdown', close)
    document.addEventListener('keydown', close)
    return () => {
      document.removeEventListener('pointerdown', close)
      document.removeEventListener('keydown', close)
    }
  }, [])
  return (
    <details className="menu" ref={ref}>
      <summary className={chosen ? 'menu-chosen' : undefined}>
        {title}
        {chosen > 0 && <span className="menu-count"> {chosen}</span>}
      </summary>
      <div className="menu-panel">{children}</div>
    </details>
  )
}

function Choices<Key extends string>({
  legend,
  items,
  chosen,
  onToggle,
}: {
  legend: string
  items: { key: Key; label: string; bodies: number }[]
  chosen: Key[]
  onToggle: (key: Key) => void
}) {
  if (items.length === 0) return <p className="faint">Nothing to choose from.</p>
  return (
    <fieldset className="choices">
      <legend>{legend}</legend>
      {items.map(({ key, label, bodies }) => (
        <label key={key}>
          <input type="checkbox" checked={chosen.includes(key)} onChange={() => onToggle(key)} />
          <span>{label}</span>
          <span className="choice-count">{whole(bodies)}</span>
        </label>
      ))}
    </fieldset>
  )
}
