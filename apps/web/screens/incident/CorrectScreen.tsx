'use client'
import type { IncidentDetail } from '@sightglass/contract'
import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { type FormEvent, useEffect, useRef, useState } from 'react'
import { uuidv7 } from 'uuidv7'
import { call } from '../../lib/api.ts'
import { BodyCrumbs } from '../../shared/BodyCrumbs.tsx'
import { NoteField } from '../../shared/Field.tsx'
import { ProblemNote, problemFrom } from '../../shared/Problem.tsx'
import { usePerson } from '../../shared/stored.ts'
import { ReportFields } from './Fields.tsx'
import { errorsOf, type ReportDraft, type ReportErrors, readCorrection, reportOf } from './form.ts'
import { titleOf } from './prepare.ts'
import { focusFirstTrouble, REPORT_KEYS } from './trouble.ts'

export function CorrectIncidentScreen({ incident }: { incident: IncidentDetail }) {
  const { bodyId, facilityId, facilityName, bodyName, timeZone } = incident
  const page = `/bodies/${bodyId}/incidents/${incident.id}`
  const router = useRouter()
  const form = useRef<HTMLFormElement>(null)
  const person = usePerson()
  const [draft, setDraft] = useState<ReportDraft | null>(null)
  const [errors, setErrors] = useState<ReportErrors>({})
  const [failure, setFailure] = useState<unknown>(null)
  const [storing, setStoring] = useState(false)
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when the person that this browser knows has been read
  useEffect(() => {
    if (person.ready) setDraft((now) => now ?? reportOf(incident, uuidv7(), person.value))
  }, [person.ready])

  async function store(event: FormEvent) {
    event.preventDefault()
    if (!draft || storing) return
    const read = readCorrection(draft, timeZone, Date.now())
    setFailure(null)
    setErrors(read.state === 'held' ? read.errors : {})
    if (read.state === 'held') return focusFirstTrouble(form)
    setStoring(true)
    try {
      await call('correctIncident', { params: { bodyId, incidentId: incident.id }, body: read.report })
    } catch (error) {
      const told = errorsOf(problemFrom(error), REPORT_KEYS)
      setErrors(told.errors)
      setFailure(told.rest.length === 0 && Object.keys(told.errors).length > 0 ? null : error)
      setStoring(false)
      return focusFirstTrouble(form)
    }
    person.set(draft.person.trim())
    router.push(page)
    router.refresh()
  }

  return (
    <main className="page form-page" id="main">
      <BodyCrumbs facility={{ id: facilityId, name: facilityName }} body={{ id: bodyId, name: bodyName }} />
      <h1>Correct an incident</h1>
      <p className="lead">
        {titleOf(incident)}, {bodyName}. The old version is kept.
      </p>
      <form ref={form} onSubmit={store} noValidate>
        {draft && (
          <>
            <NoteField
              label="Why it is corrected"
              hint="Kept with both versions"
              value={draft.reason}
              error={errors.reason}
              onChange={({ target }) => setDraft({ ...draft, reason: target.value })}
            />
            <ReportFields
              draft={draft}
              errors={errors}
              zone={timeZone}
              onChange={(change) => setDraft({ ...draft, ...change })}
            />
            {failure !== null && <ProblemNote error={failure}> What you typed is still here.</ProblemNote>}
            <p className="buttons sticky-buttons">
              <button type="submit" className="button" disabled={storing}>
                {storing ? 'Storing …' : 'Store the correction'}
              </button>
              <Link className="button quiet" href={page}>
                Leave it as it is
              </Link>
            </p>
          </>
        )}
      </form>
    </main>
  )
}
