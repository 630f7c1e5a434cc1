'use client'
import type { ProfileDetail } from '@sightglass/contract'
import { type FormEvent, useState } from 'react'
import { call } from '../../lib/api.ts'
import { Dialog } from '../../shared/Dialog.tsx'
import { NoteField, TextField } from '../../shared/Field.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { usePerson } from '../../shared/stored.ts'

interface Given {
  detail: ProfileDetail
  onRetired: (detail: ProfileDetail) => void
  onClose: () => void
}

export function RetireDialog({ detail, onRetired, onClose }: Given) {
  const { profile, usedBy } = detail
  const users = [...usedBy.facilities, ...usedBy.profiles]
  const person = usePerson()
  const [reason, setReason] = useState('')
  const [asked, setAsked] = useState(false)
  const [failure, setFailure] = useState<unknown>(null)
  const missing = { person: !person.value.trim(), reason: !reason.trim() }

  async function retire(event: FormEvent) {
    event.preventDefault()
    setAsked(true)
    setFailure(null)
    if (missing.person || missing.reason) return
    try {
      const body = { person: person.value.trim(), reason: reason.trim() }
      onRetired(await call('retireProfile', { params: { profileKey: profile.key }, body }))
    } catch (error) {
      setFailure(error)
    }
  }

  if (users.length > 0) {
    return (
      <Dialog title={`${profile.name} is in use`} onClose={onClose}>
        <p>Choose another profile there first; then it can be retired.</p>
        <ul className="plain-list">
          {usedBy.facilities.map(({ id, name }) => (
            <li key={id}>
              <a href={`/facilities/${id}`}>{name}</a>
            </li>
          ))}
          {usedBy.profiles.map(({ key, name }) => (
            <li key={key}>
              <a href={`/profiles/${encodeURIComponent(key)}`}>{name}</a>, derived from it
            </li>
          ))}
        </ul>
        <p className="buttons">
          <button type="button" className="button quiet" onClick={onClose}>
            Leave it
          </button>
        </p>
      </Dialog>
    )
  }
  return (
    <Dialog title={`Retire ${profile.name}?`} onClose={onClose}>
      <form onSubmit={retire} noValidate>
        <p>It leaves the lists and cannot be chosen any more. Its page and its versions stay.</p>
        <TextField
          label="Person"
          value={person.value}
          error={asked && missing.person ? 'must name the person' : undefined}
          onChange={({ target }) => person.set(target.value)}
        />
        <NoteField
          label="Why it goes"
          value={reason}
          error={asked && missing.reason ? 'must say why it goes' : undefined}
          onChange={({ target }) => setReason(target.value)}
        />
        {failure !== null && <ProblemNote error={failure} />}
        <p className="buttons">
          <button type="submit" className="button danger">
            Retire it
          </button>
          <button type="button" className="button quiet" onClick={onClose}>
            Leave it
          </button>
        </p>
      </form>
    </Dialog>
  )
}
