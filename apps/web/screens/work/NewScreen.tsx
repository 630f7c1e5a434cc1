'use client'
import { CAUTIONS } from '@sightglass/chemistry'
import type { Feeder, Overview } from '@sightglass/contract'
import Link from 'next/link'
import { useEffect } from 'react'
import { uuidv7 } from 'uuidv7'
import { call } from '../../lib/api.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { usePerson, useStored } from '../../shared/stored.ts'
import { AboutFields, KindFields, UnusualFields } from './Fields.tsx'
import { askedSetPoint, emptyWork, type WorkDraft, withSetPoint } from './form.ts'
import { useWork } from './useWork.ts'

interface Given {
  overview: Overview
  feeders: Pick<Feeder, 'id' | 'name'>[]
  /** Where the ORP set point was moved to, when whoever comes here has just done it. */
  orpSetPointMv?: string
}

/** Logs what was done at a body's probes, feeders and flow, all of one visit at once. */
export function NewWorkScreen({ overview, feeders, orpSetPointMv = '' }: Given) {
  const { body, facility } = overview
  const zone = facility.timeZone
  const person = usePerson()
  const kept = useStored<WorkDraft | null>(`draft.work.${body.id}`, null)
  const entry = useWork(overview)

  const ready = kept.ready && person.ready
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when what was kept has been read
  useEffect(() => {
    if (!ready) return
    const draft = kept.value ?? emptyWork(Date.now(), zone, person.value)
    const moved = askedSetPoint(orpSetPointMv)
    if (kept.value === null || moved) kept.set(moved ? withSetPoint(draft, moved, uuidv7()) : draft)
  }, [ready])
  const draft = kept.value
  const change = (part: Partial<WorkDraft>) => draft && kept.set({ ...draft, ...part })

  async function store(event: React.FormEvent) {
    event.preventDefault()
    if (!draft) return
    const stored = await entry.submit(draft, { what: 'The work is logged.' }, (work) =>
      call('createWork', { body: { work: work.map((one) => ({ ...one, bodyId: body.id })) } }),
    )
    if (!stored) return
    person.set(draft.person.trim())
    kept.forget()
  }

  return (
    <main className="page form-page" id="main">
      <nav aria-label="Where you are" className="crumbs">
        <Link href="/">Triage</Link> <span aria-hidden="true">/</span>{' '}
        <Link href={`/bodies/${body.id}`}>
          {facility.name}, {body.name}
        </Link>
      </nav>
      <h1>Log work</h1>
      <p className="lead">
        What was done at {body.name}. After it the same water may show something else: without it a change looks like a
        fault.
      </p>
      <form ref={entry.form} onSubmit={store} noValidate aria-busy={!draft}>
        {draft ? (
          <>
            <KindFields draft={draft} errors={entry.errors} feeders={feeders} onChange={change} />
            <UnusualFields unusual={entry.asked} draft={draft} onChange={change} />
            <AboutFields draft={draft} errors={entry.errors} zone={zone} onChange={change} />
            {entry.failure !== null && <ProblemNote error={entry.failure}> What you typed is kept.</ProblemNote>}
            <p className="buttons sticky-buttons">
              <button type="submit" className="button" disabled={entry.storing}>
                {entry.storing ? 'Storing …' : 'Log the work'}
              </button>
              <Link className="button quiet" href={`/bodies/${body.id}`}>
                Back, keep it
              </Link>
            </p>
          </>
        ) : (
          <p className="faint">Reading what this browser kept …</p>
        )}
      </form>
      <p className="caution-line">{CAUTIONS.localCodeFirst}</p>
    </main>
  )
}
