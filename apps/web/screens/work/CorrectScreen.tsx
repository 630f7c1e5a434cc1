'use client'
import type { Feeder, Overview, Work, WorkKind } from '@sightglass/contract'
import Link from 'next/link'
import { useState } from 'react'
import { uuidv7 } from 'uuidv7'
import { call } from '../../lib/api.ts'
import { CheckField, NoteField, SelectField } from '../../shared/Field.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { exactTime } from '../../shared/time.ts'
import { useNow } from '../../shared/useNow.ts'
import { AboutFields, OwnField, UnusualFields } from './Fields.tsx'
import { draftOf, type WorkDraft } from './form.ts'
import { useWork } from './useWork.ts'
import { versionText, WORK_OPTIONS, workText } from './words.ts'

interface Given {
  overview: Overview
  feeders: Pick<Feeder, 'id' | 'name'>[]
  /** Newest first. */
  versions: Work[]
  at: string
}

export function CorrectWorkScreen({ overview, feeders, versions, at }: Given) {
  const { body, facility } = overview
  const zone = facility.timeZone
  const now = useNow(at)
  const current = versions[0]
  const [draft, setDraft] = useState<WorkDraft | null>(() => (current ? draftOf(current, uuidv7(), zone) : null))
  const entry = useWork(overview)
  const change = (part: Partial<WorkDraft>) => setDraft((typed) => typed && { ...typed, ...part })
  const kind = draft && (Object.keys(draft.chosen)[0] as WorkKind | undefined)

  async function store(event: React.FormEvent) {
    event.preventDefault()
    if (!draft || !current) return
    const params = { bodyId: body.id, workId: current.id }
    const what = 'The correction is stored; the old version is kept.'
    await entry.submit(draft, { reasonNeeded: true, what }, async ([work]) => {
      if (work) await call('correctWork', { params, body: { ...work, done: draft.done, reason: draft.reason.trim() } })
    })
  }

  return (
    <main className="page form-page" id="main">
      <nav aria-label="Where you are" className="crumbs">
        <Link href="/">Triage</Link> <span aria-hidden="true">/</span>{' '}
        <Link href={`/bodies/${body.id}`}>
          {facility.name}, {body.name}
        </Link>
      </nav>
      <h1>Correct work</h1>
      <section aria-labelledby="versions">
        <h2 id="versions">What is stored</h2>
        <ol className="versions">
          {versions.map((version) => (
            <li key={version.id}>
              <strong suppressHydrationWarning>{exactTime(version.at, zone, now)}</strong>{' '}
              {version.done ? workText(version) : `${workText(version)}: never done`}{' '}
              <span className="faint" suppressHydrationWarning>
                {versionText(version, zone, now)}
              </span>
            </li>
          ))}
        </ol>
      </section>
      {draft && kind && (
        <form ref={entry.form} onSubmit={store} noValidate>
          <NoteField
            label="Why it is corrected"
            hint="Kept with both versions"
            value={draft.reason}
            error={entry.errors.reason}
            onChange={({ target }) => change({ reason: target.value })}
          />
          <CheckField
            label="This was never done here"
            checked={!draft.done}
            onChange={({ target }) => change({ done: !target.checked })}
          />
          <SelectField
            label="What was done"
            options={WORK_OPTIONS}
            value={kind}
            onChange={({ target }) => change({ chosen: { [target.value]: draft.chosen[kind] } })}
          />
          <OwnField kind={kind} draft={draft} errors={entry.errors} feeders={feeders} onChange={change} />
          <UnusualFields unusual={entry.asked} draft={draft} onChange={change} />
          <AboutFields draft={draft} errors={entry.errors} zone={zone} onChange={change} />
          {entry.failure !== null && <ProblemNote error={entry.failure}> What you typed is still here.</ProblemNote>}
          <p className="buttons sticky-buttons">
            <button type="submit" className="button" disabled={entry.storing}>
              {entry.storing ? 'Storing …' : 'Store the correction'}
            </button>
            <Link className="button quiet" href={`/bodies/${body.id}`}>
              Leave it as it is
            </Link>
          </p>
        </form>
      )}
    </main>
  )
}
