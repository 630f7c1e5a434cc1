'use client'
import { type FormEvent, useState } from 'react'
import { call } from '../../lib/api.ts'
import { CheckField, NoteField, SelectField, TextField } from '../../shared/Field.tsx'
import { unitOf } from '../../shared/measure.ts'
import { ProblemNote, problemFrom } from '../../shared/Problem.tsx'
import { useUnits } from '../../shared/Units.tsx'
import { errorsOf, type FormValues, payloadOf, valuesOf } from './form.ts'
import { type FieldSpec, SPECS, type Thing } from './kinds.ts'

interface Given {
  thing: Thing
  fields: FieldSpec[]
  /** What is edited; null for a new one. */
  stored: ({ id: string } & Record<string, unknown>) | null
  /** What a new one belongs to. */
  belongsTo: Record<string, string>
  onStored: (stored: { id: string }) => void
  onCancel?: () => void
}

export function ThingForm({ thing, fields, stored, belongsTo, onStored, onCancel }: Given) {
  const system = useUnits()
  const spec = SPECS[thing]
  // The units of the moment are kept, so that switching them does not turn gallons typed into litres.
  const [units] = useState(system)
  const [before] = useState(() => valuesOf(fields, stored, units))
  const [values, setValues] = useState(before)
  const [errors, setErrors] = useState<Record<string, string>>({})
  const [failure, setFailure] = useState<unknown>(null)
  const [storing, setStoring] = useState(false)

  async function store(event: FormEvent) {
    event.preventDefault()
    const made = payloadOf(fields, values, stored ? before : null, units)
    setErrors(made.errors)
    setFailure(null)
    if (Object.keys(made.errors).length) return
    setStoring(true)
    try {
      onStored(await send(thing, stored?.id ?? null, { ...(stored ? {} : belongsTo), ...made.payload }))
    } catch (error) {
      const { byField, rest } = errorsOf(problemFrom(error), fields)
      setErrors(byField)
      setFailure(Object.keys(byField).length && rest.length === 0 ? null : error)
      setStoring(false)
    }
  }

  return (
    <form onSubmit={store} noValidate>
      {fields.map((field) => (
        <FormField
          key={field.name}
          field={field}
          label={labelOf(field, units)}
          value={values[field.name] ?? ''}
          error={errors[field.name]}
          onChange={(value) => setValues((now: FormValues) => ({ ...now, [field.name]: value }))}
        />
      ))}
      {failure !== null && <ProblemNote error={failure} />}
      <p className="buttons">
        <button type="submit" className="button" disabled={storing}>
          {storing ? 'Storing …' : stored ? 'Store the changes' : `Create the ${spec.words}`}
        </button>
        {onCancel && (
          <button type="button" className="button quiet" onClick={onCancel}>
            Cancel
          </button>
        )}
      </p>
    </form>
  )
}

const labelOf = (field: FieldSpec, units: 'us' | 'metric') => {
  const unit = field.unit ? unitOf(field.unit, units).label : field.suffix
  return unit ? `${field.label}, ${unit}` : field.label
}

/** The contract's calls for things differ only in their names and bodies. */
function send(thing: Thing, id: string | null, body: Record<string, unknown>) {
  const { create, edit, param } = SPECS[thing]
  const name = id && edit ? edit : create
  const given = id ? { params: { [param]: id }, body } : { body: withoutNulls(body) }
  return (call as (name: string, given: object) => Promise<{ id: string }>)(name, given)
}

const withoutNulls = (body: Record<string, unknown>) =>
  Object.fromEntries(Object.entries(body).filter(([, value]) => value !== null && value !== ''))

function FormField({
  field,
  label,
  value,
  error,
  onChange,
}: {
  field: FieldSpec
  label: string
  value: string | boolean
  error?: string
  onChange: (value: string | boolean) => void
}) {
  const shared = { label, error, hint: field.hint }
  const text = String(value)
  switch (field.type) {
    case 'check':
      return <CheckField label={label} checked={value === true} onChange={({ target }) => onChange(target.checked)} />
    case 'select':
      return (
        <SelectField
          {...shared}
          options={field.options ?? []}
          empty={field.empty}
          value={text}
          onChange={({ target }) => onChange(target.value)}
        />
      )
    case 'note':
      return <NoteField {...shared} value={text} onChange={({ target }) => onChange(target.value)} />
    default:
      return (
        <TextField
          {...shared}
          type={field.type === 'number' ? 'text' : field.type}
          inputMode={field.type === 'number' ? 'decimal' : undefined}
          required={field.required}
          value={text}
          onChange={({ target }) => onChange(target.value)}
        />
      )
  }
}
