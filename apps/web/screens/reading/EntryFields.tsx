'use client'
import type { Parameter } from '@sightglass/chemistry'
import type { Method } from '@sightglass/contract'
import type { Draft, EntryKey, Errors, FieldModel, Unusual } from '../../shared/entry.ts'
import { CheckField, Field, NoteField, SelectField, TextField, TimeField } from '../../shared/Field.tsx'
import { METHOD_WORDS, optionsOf } from '../../shared/words.ts'

interface Given {
  draft: Draft
  fields: { tests: FieldModel[]; displays: FieldModel[] }
  errors: Errors
  unusual: Unusual[]
  zone: string
  /** Stands behind the values. */
  advice: React.ReactNode
  onChange: (change: Partial<Draft>) => void
}

export function EntryFields({ draft, fields, errors, unusual, zone, advice, onChange }: Given) {
  const type = (key: EntryKey, text: string) =>
    onChange({
      texts: { ...draft.texts, [key]: text },
      confirmed: draft.confirmed.filter((confirmed) => confirmed !== key),
    })
  const number = (field: FieldModel) => (
    <NumberField
      key={field.key}
      field={field}
      text={draft.texts[field.key] ?? ''}
      error={errors[field.key]}
      onType={(text) => type(field.key, text)}
    />
  )
  return (
    <>
      <fieldset className="entry-values">
        <legend>What the test showed</legend>
        {fields.tests.map(number)}
        {errors.values && (
          <p className="field-error" role="alert">
            {errors.values}
          </p>
        )}
      </fieldset>
      <fieldset className="entry-values">
        <legend>What the controller’s display showed at that moment</legend>
        {fields.displays.map(number)}
      </fieldset>
      {advice}
      {unusual.length > 0 && (
        <fieldset className="unusual" role="alert">
          <legend>Unusual, please look again</legend>
          {unusual.map(({ key, words }) => (
            <CheckField
              key={key}
              label={`I read ${words} and mean it`}
              checked={draft.confirmed.includes(key)}
              onChange={(event) => onChange({ confirmed: toggledTo(draft.confirmed, key, event.target.checked) })}
            />
          ))}
        </fieldset>
      )}
      <fieldset className="entry-about">
        <legend>Who, when and how</legend>
        <TextField
          label="Person"
          value={draft.person}
          autoComplete="name"
          error={errors.person}
          onChange={(event) => onChange({ person: event.target.value })}
        />
        <TimeField
          label="Time"
          zone={zone}
          value={draft.at}
          error={errors.at}
          onChange={(event) => onChange({ at: event.target.value })}
        />
        <SelectField
          label="Method"
          options={optionsOf(METHOD_WORDS)}
          value={draft.method}
          error={errors.method}
          onChange={(event) => onChange({ method: event.target.value as Method })}
        />
        <NoteField
          label="Note"
          value={draft.note}
          error={errors.note}
          onChange={(event) => onChange({ note: event.target.value })}
        />
      </fieldset>
    </>
  )
}

const toggledTo = (confirmed: Parameter[], key: Parameter, meant: boolean) =>
  meant ? [...confirmed.filter((other) => other !== key), key] : confirmed.filter((other) => other !== key)

function NumberField({
  field,
  text,
  error,
  onType,
}: {
  field: FieldModel
  text: string
  error?: string
  onType: (text: string) => void
}) {
  return (
    <Field
      label={
        <>
          {field.label} {field.unit && <span className="unit">{field.unit}</span>}
        </>
      }
      hint={field.range ? `Range ${field.range}` : undefined}
      error={error}
    >
      {(ids) => (
        <input
          type="text"
          inputMode="decimal"
          autoComplete="off"
          className="number-input"
          value={text}
          onChange={(event) => onType(event.target.value)}
          {...ids}
        />
      )}
    </Field>
  )
}
