'use client'
import { CAUTIONS } from '@sightglass/chemistry'
import type { Overview } from '@sightglass/contract'
import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { type FormEvent, useRef, useState } from 'react'
import { uuidv7 } from 'uuidv7'
import { call } from '../../lib/api.ts'
import { BodyCrumbs } from '../../shared/BodyCrumbs.tsx'
import { ProblemNote, problemFrom } from '../../shared/Problem.tsx'
import { usePerson, useStored } from '../../shared/stored.ts'
import { ReportFields } from './Fields.tsx'
import { asOfNow, emptyReport, errorsOf, type Kept, type ReportDraft, type ReportErrors, readReport } from './form.ts'
import { focusFirstTrouble, REPORT_KEYS } from './trouble.ts'

/** Reports an incident; storing it closes the body. */
export function NewIncidentScreen({ body, facility }: Pick<Overview, 'body' | 'facility'>) {
  const zone = facility.timeZone
  const router = useRouter()
  const form = useRef<HTMLFormElement>(null)
  const person = usePerson()
  const kept = useStored<Kept<ReportDraft> | null>(`draft.incident.${body.id}`, null)
  const [errors, setErrors] = useState<ReportErrors>({})
  const [failure, setFailure] = useState<unknown>(null)
  const [storing, setStoring] = useState(false)

  const [id] = useState(uuidv7)
  const begun = kept.value ?? emptyReport(id)
  const draft = kept.ready && person.ready ? asOfNow<ReportDraft>(begun, Date.now(), zone, person.value) : null

  async function store(event: FormEvent) {
    event.preventDefault()
    if (!draft || storing) return
    const read = readReport(draft, zone, Date.now())
    setFailure(null)
    setErrors(read.state === 'held' ? read.errors : {})
    if (read.state === 'held') return focusFirstTrouble(form)
    setStoring(true)
    // kept as it is sent, so that sending again after a lost answer is the same
    kept.set(draft)
    try {
      await call('openIncident', { body: { ...read.report, bodyId: body.id } })
    } catch (error) {
      const problem = problemFrom(error)
      const told = errorsOf(problem, REPORT_KEYS)
      // refused, so that the next try is another one: its time is not that of this one, its id must not be one that is taken
      if (problem.status >= 400 && problem.status < 500) kept.set({ ...begun, id: uuidv7() })
      setErrors(told.errors)
      setFailure(told.rest.length === 0 && Object.keys(told.errors).length > 0 ? null : error)
      setStoring(false)
      return focusFirstTrouble(form)
    }
    person.set(draft.person.trim())
    kept.forget()
    router.push(`/bodies/${body.id}/incidents/${draft.id}`)
    router.refresh()
  }

  return (
    <main className="page form-page" id="main">
      <BodyCrumbs facility={facility} body={body} />
      <h1>Report an incident</h1>
      <p className="lead">
        Get everyone out of {body.name} first. Reporting it closes the body until somebody closes the incident.
      </p>
      <form ref={form} onSubmit={store} noValidate aria-busy={!draft}>
        {draft ? (
          <>
            <ReportFields
              draft={draft}
              errors={errors}
              zone={zone}
              onChange={(change) => kept.set({ ...begun, ...change })}
            />
            {failure !== null && <ProblemNote error={failure}> What you typed is kept.</ProblemNote>}
            <p className="buttons sticky-buttons">
              <button type="submit" className="button" disabled={storing}>
                {storing ? 'Reporting …' : 'Report it and close the body'}
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
