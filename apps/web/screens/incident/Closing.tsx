'use client'
import { REOPENING_CHECK_WORDS, REOPENING_CHECKS, type ReopeningCheck } from '@sightglass/chemistry'
import type { IncidentDetail } from '@sightglass/contract'
import { type FormEvent, useRef, useState } from 'react'
import { call } from '../../lib/api.ts'
import { NoteField, TextField, TimeField } from '../../shared/Field.tsx'
import { ProblemNote, problemFrom } from '../../shared/Problem.tsx'
import { usePerson, useStored } from '../../shared/stored.ts'
import { useUnits } from '../../shared/Units.tsx'
import { asOfNow, type CloseDraft, type CloseErrors, emptyClose, errorsOf, type Kept, readClose } from './form.ts'
import { lines } from './prepare.ts'
import { CLOSE_KEYS, focusFirstTrouble } from './trouble.ts'

/** The checks before bathers return, and whose word it is. */
export function CloseForm({
  incident,
  onClosed,
}: {
  incident: IncidentDetail
  onClosed: (closed: IncidentDetail) => void
}) {
  const { id, bodyId, timeZone, contact } = incident
  const reached = contact?.state === 'reached'
  const obstacles = lines(incident.obstacles, useUnits())
  const form = useRef<HTMLFormElement>(null)
  const person = usePerson()
  const kept = useStored<Kept<CloseDraft> | null>(`draft.closing.${id}`, null)
  const [errors, setErrors] = useState<CloseErrors>({})
  const [failure, setFailure] = useState<unknown>(null)
  const [storing, setStoring] = useState(false)
  if (!kept.ready || !person.ready) return <p className="faint">Reading what this browser kept …</p>
  const begun = kept.value ?? emptyClose()
  const draft = asOfNow<CloseDraft>(begun, Date.now(), timeZone, person.value)
  const change = (part: Partial<CloseDraft>) => kept.set({ ...begun, ...part })
  const tick = (check: ReopeningCheck, done: boolean) =>
    change({ checks: done ? [...draft.checks, check] : draft.checks.filter((other) => other !== check) })

  async function store(event: FormEvent) {
    event.preventDefault()
    if (storing) return
    const read = readClose(draft, reached, timeZone, Date.now())
    setFailure(null)
    setErrors(read.state === 'held' ? read.errors : {})
    if (read.state === 'held') return focusFirstTrouble(form)
    setStoring(true)
    // kept as it is sent, so that sending again after a lost answer is the same
    kept.set(draft)
    try {
      const closed = await call('closeIncident', { params: { bodyId, incidentId: id }, body: read.closing })
      person.set(draft.person.trim())
      kept.forget()
      onClosed(closed)
    } catch (error) {
      const told = errorsOf(problemFrom(error), CLOSE_KEYS)
      setErrors(told.errors)
      setFailure(error)
      setStoring(false)
      // refused: the time of the next try is not that of this one
      if (problemFrom(error).status >= 400 && problemFrom(error).status < 500) kept.set(begun)
      focusFirstTrouble(form)
    }
  }

  return (
    <form ref={form} onSubmit={store} noValidate className="incident-close">
      {obstacles.length > 0 && (
        <div className="problem">
          <strong>It cannot be closed yet:</strong>
          <ul className="advice">
            {obstacles.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </div>
      )}
      <fieldset className="incident-checks">
        <legend>Checked, by whoever signs here</legend>
        {REOPENING_CHECKS.map((check) => (
          <div key={check} className="check">
            <input
              type="checkbox"
              id={`${id}-${check}`}
              checked={draft.checks.includes(check)}
              aria-invalid={errors.checks && !draft.checks.includes(check) ? true : undefined}
              onChange={({ target }) => tick(check, target.checked)}
            />
            <label htmlFor={`${id}-${check}`}>{REOPENING_CHECK_WORDS[check]}</label>
          </div>
        ))}
        {errors.checks && (
          <p className="field-error" role="alert">
            {errors.checks}
          </p>
        )}
      </fieldset>
      {!reached && (
        <fieldset className="entry-about">
          <legend>The contact time is not proved: who allows it, and why</legend>
          <TextField
            label="Who allows it"
            hint="The health department, by name; or whose order it is to drain"
            value={draft.authority}
            error={errors.authority}
            onChange={({ target }) => change({ authority: target.value })}
          />
          <NoteField
            label="Why"
            hint="Kept for good"
            value={draft.reason}
            error={errors.reason}
            onChange={({ target }) => change({ reason: target.value })}
          />
        </fieldset>
      )}
      <fieldset className="entry-about">
        <legend>Who, and when</legend>
        <TextField
          label="Person"
          autoComplete="name"
          value={draft.person}
          error={errors.person}
          onChange={({ target }) => change({ person: target.value })}
        />
        <TimeField
          label="Time"
          zone={timeZone}
          value={draft.at}
          error={errors.at}
          onChange={({ target }) => change({ at: target.value })}
        />
        <NoteField
          label="Note"
          value={draft.note}
          error={errors.note}
          onChange={({ target }) => change({ note: target.value })}
        />
      </fieldset>
      {failure !== null && <ProblemNote error={failure}> What you typed is kept.</ProblemNote>}
      <p className="buttons">
        <button type="submit" className="button" disabled={storing}>
          {storing ? 'Closing …' : 'Close the incident'}
        </button>
      </p>
    </form>
  )
}
