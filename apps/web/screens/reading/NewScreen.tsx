'use client'
import { CAUTIONS } from '@sightglass/chemistry'
import type { Overview, Profile } from '@sightglass/contract'
import Link from 'next/link'
import { useEffect, useState } from 'react'
import { uuidv7 } from 'uuidv7'
import { call } from '../../lib/api.ts'
import type { DoseEntry } from '../../shared/amounts.ts'
import { BodyCrumbs } from '../../shared/BodyCrumbs.tsx'
import { type Draft, emptyDraft, fieldsFor, inSystem } from '../../shared/entry.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { rangesFor } from '../../shared/ranges.ts'
import { usePerson, useStored } from '../../shared/stored.ts'
import { exactTime } from '../../shared/time.ts'
import { useUnits } from '../../shared/Units.tsx'
import { AdviceLine, AdvicePanel } from './AdvicePanel.tsx'
import { EntryFields } from './EntryFields.tsx'
import { Retest } from './Retest.tsx'
import { useAdvice } from './useAdvice.ts'
import { useEntry } from './useEntry.ts'

const NO_DOSES: DoseEntry[] = []

export function NewReadingScreen({ overview, profile }: { overview: Overview; profile: Profile | null }) {
  const { body, facility } = overview
  const zone = facility.timeZone
  const system = useUnits()
  const person = usePerson()
  const kept = useStored<Draft | null>(`draft.reading.${body.id}`, null)
  const [restored, setRestored] = useState(false)
  const entry = useEntry(overview)
  const added = useStored<DoseEntry[]>(`draft.added.${body.id}`, NO_DOSES)
  const { advice, error } = useAdvice(overview, kept.value)

  const ready = kept.ready && person.ready
  const afresh = () => emptyDraft(uuidv7(), Date.now(), zone, person.value, system)
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when what was kept has been read
  useEffect(() => {
    if (!ready) return
    setRestored(kept.value !== null)
    if (kept.value === null) kept.set(afresh())
  }, [ready])
  const draft = kept.value && inSystem(kept.value, system)
  const change = (part: Partial<Draft>) => {
    if (draft) kept.set({ ...draft, ...part })
  }

  async function store(event: React.FormEvent) {
    event.preventDefault()
    if (!draft) return
    const stored = await entry.submit(draft, false, 'The test is stored.', (reading) =>
      call('createReadings', { body: { readings: [{ ...reading, bodyId: body.id }] } }),
    )
    if (!stored) return
    person.set(draft.person.trim())
    kept.forget()
    added.forget()
  }

  return (
    <main className="page form-page entry-page" id="main">
      <BodyCrumbs facility={facility} body={body} />
      <h1>Enter a test</h1>
      <p className="lead">
        {body.name}, {facility.name}
      </p>
      {restored && draft && (
        <p className="notice" suppressHydrationWarning>
          What you began on {exactTime(draft.startedMs, zone, Date.now())} was kept.{' '}
          <button
            type="button"
            className="link-button"
            onClick={() => {
              kept.set(afresh())
              added.set(NO_DOSES)
              setRestored(false)
              entry.reset()
            }}
          >
            Start afresh
          </button>
        </p>
      )}
      <form ref={entry.form} onSubmit={store} noValidate aria-busy={!draft}>
        {draft ? (
          <>
            <EntryFields
              draft={draft}
              fields={fieldsFor(body.sanitizerSystem, rangesFor(profile, body), system)}
              errors={entry.errors}
              unusual={entry.unusualOf(draft)}
              zone={zone}
              advice={
                <AdvicePanel advice={advice} error={error}>
                  <Retest bodyId={body.id} draft={draft} doses={added.value} onChange={added.set} />
                </AdvicePanel>
              }
              onChange={change}
            />
            {entry.failure !== null && <ProblemNote error={entry.failure}> What you typed is kept.</ProblemNote>}
            <div className="sticky-buttons">
              <AdviceLine advice={advice} />
              <p className="buttons">
                <button type="submit" className="button" disabled={entry.storing}>
                  {entry.storing ? 'Storing …' : 'Store the test'}
                </button>
                <Link className="button quiet" href={`/bodies/${body.id}`}>
                  Back, keep it
                </Link>
              </p>
            </div>
          </>
        ) : (
          <p className="faint">Reading what this browser kept …</p>
        )}
      </form>
      <p className="caution-line">{CAUTIONS.localCodeFirst}</p>
    </main>
  )
}
