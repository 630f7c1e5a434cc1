'use client'
import { formatQuantity } from '@sightglass/chemistry'
import { type FormEvent, useState } from 'react'
import { uuidv7 } from 'uuidv7'
import { call } from '../../lib/api.ts'
import { TextField, TimeField } from '../../shared/Field.tsx'
import { unitOf } from '../../shared/measure.ts'
import { typedNumber } from '../../shared/numbers.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { usePerson } from '../../shared/stored.ts'
import { fromLocalInput, localInput, NO_SUCH_TIME } from '../../shared/time.ts'
import { useUnits } from '../../shared/Units.tsx'

type Errors = Partial<Record<'level' | 'delivered' | 'at' | 'person', string>>

// As the API has it: a drum may be filled to the brim.
const BRIM = 1.05

/** Reads a drum's level, and what was filled in just before. */
export function LevelForm({
  drumId,
  capacityL,
  zone,
  onStored,
}: {
  drumId: string
  capacityL: number
  zone: string
  onStored: () => void
}) {
  const [units] = useState(useUnits())
  const litres = unitOf('L', units)
  const person = usePerson()
  const [id] = useState(uuidv7)
  const [level, setLevel] = useState('')
  const [delivered, setDelivered] = useState('')
  const [at, setAt] = useState(() => localInput(Date.now(), zone))
  const [errors, setErrors] = useState<Errors>({})
  const [failure, setFailure] = useState<unknown>(null)

  async function store(event: FormEvent) {
    event.preventDefault()
    const levelTyped = typedNumber(level)
    const deliveredTyped = typedNumber(delivered)
    const atMs = fromLocalInput(at, zone)
    const wrong: Errors = {
      ...(levelTyped.state !== 'number' && {
        level: levelTyped.state === 'wrong' ? levelTyped.message : 'must be given',
      }),
      ...(levelTyped.state === 'number' && levelTyped.value < 0 && { level: 'must not be under 0' }),
      ...(levelTyped.state === 'number' &&
        litres.toStored(levelTyped.value) > capacityL * BRIM && {
          level: `is more than the drum holds (${formatQuantity({ value: capacityL, unit: 'L' }, units)}): correct it, or the drum’s capacity`,
        }),
      ...(deliveredTyped.state === 'wrong' && { delivered: deliveredTyped.message }),
      ...(deliveredTyped.state === 'number' && deliveredTyped.value < 0 && { delivered: 'must not be under 0' }),
      ...(atMs === null && { at: NO_SUCH_TIME }),
      ...(!person.value.trim() && { person: 'must name the person' }),
    }
    setErrors(wrong)
    if (Object.keys(wrong).length || levelTyped.state !== 'number' || atMs === null) return
    const body = {
      id,
      at: new Date(atMs).toISOString(),
      levelL: litres.toStored(levelTyped.value),
      deliveredL: deliveredTyped.state === 'number' ? litres.toStored(deliveredTyped.value) : 0,
      person: person.value.trim(),
    }
    try {
      await call('createDrumLevel', { params: { drumId }, body })
      onStored()
    } catch (error) {
      setFailure(error)
    }
  }

  return (
    <form onSubmit={store} noValidate>
      <TextField
        label={`Level now, ${litres.label}`}
        inputMode="decimal"
        value={level}
        error={errors.level}
        onChange={({ target }) => setLevel(target.value)}
      />
      <TextField
        label={`Filled in just before, ${litres.label}`}
        hint="Leave empty when nothing was delivered"
        inputMode="decimal"
        value={delivered}
        error={errors.delivered}
        onChange={({ target }) => setDelivered(target.value)}
      />
      <TimeField label="Time" zone={zone} value={at} error={errors.at} onChange={({ target }) => setAt(target.value)} />
      <TextField
        label="Person"
        value={person.value}
        error={errors.person}
        onChange={({ target }) => person.set(target.value)}
      />
      {failure !== null && <ProblemNote error={failure} />}
      <p className="buttons">
        <button type="submit" className="button">
          Store the level
        </button>
      </p>
    </form>
  )
}
