'use client'
import { CAUTIONS } from '@sightglass/chemistry'
import type { Overview, Profile, Reading } from '@sightglass/contract'
import Link from 'next/link'
import { useEffect, useState } from 'react'
import { uuidv7 } from 'uuidv7'
import { call } from '../../lib/api.ts'
import { BodyCrumbs } from '../../shared/BodyCrumbs.tsx'
import { type Draft, draftOf, fieldsFor, inSystem } from '../../shared/entry.ts'
import { NoteField } from '../../shared/Field.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { rangesFor } from '../../shared/ranges.ts'
import { useUnits } from '../../shared/Units.tsx'
import { useNow } from '../../shared/useNow.ts'
import { AdviceLine, AdvicePanel } from './AdvicePanel.tsx'
import { EntryFields } from './EntryFields.tsx'
import { useAdvice } from './useAdvice.ts'
import { useEntry } from './useEntry.ts'
import { versionWords } from './versions.ts'

export function CorrectScreen({
  overview,
  profile,
  versions,
  at,
}: {
  overview: Overview
  profile: Profile | null
  versions: Reading[]
  at: string
}) {
  const { body, facility } = overview
  const zone = facility.timeZone
  const system = useUnits()
  const now = useNow(at)
  const current = versions[0]
  const [draft, setDraft] = useState<Draft | null>(null)
  const entry = useEntry(overview)
  const { advice, error } = useAdvice(overview, draft, current)

  // biome-ignore lint/correctness/useExhaustiveDependencies: once for the version that is being corrected
  useEffect(() => {
    if (current) setDraft(draftOf(current, uuidv7(), zone, system, Date.now()))
  }, [current?.id])
  const typed = draft && inSystem(draft, system)
  const change = (part: Partial<Draft>) => typed && setDraft({ ...typed, ...part })

  async function store(event: React.FormEvent) {
    event.preventDefault()
    if (!typed || !current) return
    const params = { bodyId: body.id, readingId: current.id }
    await entry.submit(typed, true, 'The correction is stored; the old version is kept.', (reading) =>
      call('correctReading', { params, body: { ...reading, reason: typed.reason.trim() } }),
    )
  }

  return (
    <main className="page form-page entry-page" id="main">
      <BodyCrumbs facility={facility} body={body} />
      <h1>Correct a test</h1>
      <section aria-labelledby="versions">
        <h2 id="versions">What is stored</h2>
        <ol className="versions">
          {versions.map((version) => {
            const words = versionWords(version, system, zone, now)
            return (
              <li key={version.id}>
                <strong suppressHydrationWarning>{words.when}</strong> {words.values}
                <span className="faint" suppressHydrationWarning>
                  {' '}
                  {words.who}
                </span>
              </li>
            )
          })}
        </ol>
      </section>
      <form ref={entry.form} onSubmit={store} noValidate>
        {typed && (
          <>
            <NoteField
              label="Why it is corrected"
              hint="Kept with both versions"
              value={typed.reason}
              error={entry.errors.reason}
              onChange={(event) => change({ reason: event.target.value })}
            />
            <EntryFields
              draft={typed}
              fields={fieldsFor(body.sanitizerSystem, rangesFor(profile, body), system)}
              errors={entry.errors}
              unusual={entry.unusualOf(typed)}
              zone={zone}
              advice={<AdvicePanel advice={advice} error={error} />}
              onChange={change}
            />
            {entry.failure !== null && <ProblemNote error={entry.failure}> What you typed is still here.</ProblemNote>}
            <div className="sticky-buttons">
              <AdviceLine advice={advice} />
              <p className="buttons">
                <button type="submit" className="button" disabled={entry.storing}>
                  {entry.storing ? 'Storing …' : 'Store the correction'}
                </button>
                <Link className="button quiet" href={`/bodies/${body.id}`}>
                  Leave it as it is
                </Link>
              </p>
            </div>
          </>
        )}
      </form>
      <p className="caution-line">{CAUTIONS.localCodeFirst}</p>
    </main>
  )
}
