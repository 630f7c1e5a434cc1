'use client'
import type { Overview } from '@sightglass/contract'
import { useQueryClient } from '@tanstack/react-query'
import { type FormEvent, useState } from 'react'
import { uuidv7 } from 'uuidv7'
import { call } from '../../lib/api.ts'
import { Dialog } from '../../shared/Dialog.tsx'
import { TextField, TimeField } from '../../shared/Field.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { usePerson } from '../../shared/stored.ts'
import { localInput } from '../../shared/time.ts'
import { type OutOfUseErrors, outOfUseWords, readOutOfUse } from './outOfUse.ts'

/** Says that a body is out of use, and puts it into use again. */
export function OutOfUseNotice({ overview, now }: { overview: Overview; now: number }) {
  const [asked, ask] = useState(false)
  const renew = useRenew()
  const words = outOfUseWords(overview, now)
  if (!words) return null
  return (
    <div className="notice">
      <p suppressHydrationWarning>
        <strong>{words.text}</strong> <span className="faint">{words.who}</span>
      </p>
      <p className="buttons">
        <button type="button" className="button quiet small" onClick={() => ask(true)}>
          {words.begun ? 'Put into use again' : 'Leave it in use'}
        </button>
      </p>
      {asked && (
        <Dialog title={words.begun ? 'Put into use again' : 'Leave it in use'} onClose={() => ask(false)}>
          <EndForm
            bodyId={overview.body.id}
            onDone={() => {
              ask(false)
              renew()
            }}
          />
        </Dialog>
      )}
    </div>
  )
}

/** A button that takes a body out of use, with the form that it opens. */
export function TakeOutOfUse({ overview }: { overview: Overview }) {
  const [asked, ask] = useState(false)
  const renew = useRenew()
  if (overview.outOfUse || overview.body.retiredAt) return null
  return (
    <>
      <button type="button" className="button quiet" onClick={() => ask(true)}>
        Take out of use
      </button>
      {asked && (
        <Dialog title={`Take ${overview.body.name} out of use`} onClose={() => ask(false)}>
          <TakeForm
            bodyId={overview.body.id}
            zone={overview.facility.timeZone}
            onDone={() => {
              ask(false)
              renew()
            }}
          />
        </Dialog>
      )}
    </>
  )
}

function useRenew() {
  const client = useQueryClient()
  return () => {
    client.invalidateQueries({ queryKey: ['getOverview'] })
    client.invalidateQueries({ queryKey: ['getSnapshots'] })
  }
}

function TakeForm({ bodyId, zone, onDone }: { bodyId: string; zone: string; onDone: () => void }) {
  const person = usePerson()
  const [id] = useState(uuidv7)
  const [from, setFrom] = useState(() => localInput(Date.now(), zone))
  const [to, setTo] = useState('')
  const [reason, setReason] = useState('')
  const [errors, setErrors] = useState<OutOfUseErrors>({})
  const [failure, setFailure] = useState<unknown>(null)

  async function store(event: FormEvent) {
    event.preventDefault()
    const read = readOutOfUse({ from, to, reason, person: person.value }, zone)
    setErrors(read.errors)
    if (Object.keys(read.errors).length) return
    try {
      await call('takeOutOfUse', { params: { bodyId }, body: { id, ...read.period } })
      onDone()
    } catch (error) {
      setFailure(error)
    }
  }

  return (
    <form onSubmit={store} noValidate>
      <p>
        Nobody bathes in it and nobody treats it: its water is not judged, no tests are due, and it stands apart from
        what is fine. What is fed into it all the same is still judged. Lock it off as the local code asks.
      </p>
      <TextField
        label="Why"
        hint="Shut for the winter, drained, rebuilt …"
        value={reason}
        error={errors.reason}
        onChange={({ target }) => setReason(target.value)}
      />
      <TimeField
        label="From"
        zone={zone}
        value={from}
        error={errors.from}
        onChange={({ target }) => setFrom(target.value)}
      />
      <TextField
        label="Until"
        type="datetime-local"
        hint="Leave empty when it is not known"
        value={to}
        error={errors.to}
        onChange={({ target }) => setTo(target.value)}
      />
      <TextField
        label="Person"
        autoComplete="name"
        value={person.value}
        error={errors.person}
        onChange={({ target }) => person.set(target.value)}
      />
      {failure !== null && <ProblemNote error={failure} />}
      <p className="buttons">
        <button type="submit" className="button">
          Take it out of use
        </button>
      </p>
    </form>
  )
}

function EndForm({ bodyId, onDone }: { bodyId: string; onDone: () => void }) {
  const person = usePerson()
  const [error, setError] = useState('')
  const [failure, setFailure] = useState<unknown>(null)

  async function store(event: FormEvent) {
    event.preventDefault()
    setError(person.value.trim() ? '' : 'must name the person')
    if (!person.value.trim()) return
    try {
      const body = { at: new Date().toISOString(), person: person.value.trim() }
      await call('putIntoUse', { params: { bodyId }, body })
      onDone()
    } catch (caught) {
      setFailure(caught)
    }
  }

  return (
    <form onSubmit={store} noValidate>
      <p>It is judged again at once by what is known of it. Test it before bathers return.</p>
      <TextField
        label="Person"
        autoComplete="name"
        value={person.value}
        error={error || undefined}
        onChange={({ target }) => person.set(target.value)}
      />
      {failure !== null && <ProblemNote error={failure} />}
      <p className="buttons">
        <button type="submit" className="button">
          It is in use from now
        </button>
      </p>
    </form>
  )
}
