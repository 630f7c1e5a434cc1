'use client'
import { type Feeder, WORK_FIELDS, type WorkField, type WorkKind } from '@sightglass/contract'
import { uuidv7 } from 'uuidv7'
import { CheckField, NoteField, SelectField, TextField } from '../../shared/Field.tsx'
import type { Unusual, WorkDraft, WorkErrors } from './form.ts'
import { WORK_GROUPS, WORK_WORDS } from './words.ts'

interface Given {
  draft: WorkDraft
  errors: WorkErrors
  feeders: readonly Pick<Feeder, 'id' | 'name'>[]
  onChange: (change: Partial<WorkDraft>) => void
}

/** What was done, each kind with what belongs to it. */
export function KindFields({ draft, errors, feeders, onChange }: Given) {
  const choose = (kind: WorkKind, chosen: boolean) => {
    const { [kind]: _, ...others } = draft.chosen
    onChange({ chosen: chosen ? { ...others, [kind]: uuidv7() } : others })
  }
  return (
    <>
      {WORK_GROUPS.map(({ title, kinds }) => (
        <fieldset key={title} className="work-kinds">
          <legend>{title}</legend>
          {kinds.map((kind) => (
            <div key={kind}>
              <CheckField
                label={WORK_WORDS[kind]}
                checked={draft.chosen[kind] !== undefined}
                onChange={({ target }) => choose(kind, target.checked)}
              />
              {draft.chosen[kind] !== undefined && (
                <OwnField kind={kind} draft={draft} errors={errors} feeders={feeders} onChange={onChange} />
              )}
            </div>
          ))}
        </fieldset>
      ))}
      {errors.chosen && (
        <p className="field-error" role="alert">
          {errors.chosen}
        </p>
      )}
    </>
  )
}

const LABELS: Record<Exclude<WorkField, 'feederId'>, { label: string; hint?: string }> = {
  orpSetPointMv: { label: 'Set to, mV' },
  phSetPoint: { label: 'Set to, pH' },
  slopePct: { label: 'Slope that the calibration reported, %', hint: 'Leave empty when it reported none' },
}

/** The field that belongs to a kind of work, when there is one. */
export function OwnField({ kind, draft, errors, feeders, onChange }: Given & { kind: WorkKind }) {
  const field = (Object.keys(WORK_FIELDS) as WorkField[]).find((key) => WORK_FIELDS[key].kind === kind)
  if (!field || (field === 'feederId' && feeders.length === 0)) return null
  const text = draft.texts[field] ?? ''
  const type = (typed: string) =>
    onChange({
      texts: { ...draft.texts, [field]: typed },
      confirmed: draft.confirmed.filter((key) => key !== field),
    })
  if (field === 'feederId')
    return (
      <SelectField
        label="Which feeder"
        empty="All of them, or none in particular"
        options={feeders.map(({ id, name }) => ({ value: id, label: name }))}
        value={text}
        error={errors.feederId}
        onChange={({ target }) => type(target.value)}
      />
    )
  return (
    <TextField
      {...LABELS[field]}
      inputMode="decimal"
      className="number-input"
      value={text}
      error={errors[field]}
      onChange={({ target }) => type(target.value)}
    />
  )
}

export function UnusualFields({
  unusual,
  draft,
  onChange,
}: {
  unusual: readonly Unusual[]
  draft: WorkDraft
  onChange: (change: Partial<WorkDraft>) => void
}) {
  if (unusual.length === 0) return null
  return (
    <fieldset className="unusual" role="alert">
      <legend>Unusual, please look again</legend>
      {unusual.map(({ key, words }) => (
        <CheckField
          key={key}
          label={`It was set to ${words} and I mean it`}
          checked={draft.confirmed.includes(key)}
          onChange={({ target }) =>
            onChange({
              confirmed: target.checked
                ? [...draft.confirmed.filter((other) => other !== key), key]
                : draft.confirmed.filter((other) => other !== key),
            })
          }
        />
      ))}
    </fieldset>
  )
}

export function AboutFields({
  draft,
  errors,
  zone,
  onChange,
}: {
  draft: WorkDraft
  errors: WorkErrors
  zone: string
  onChange: (change: Partial<WorkDraft>) => void
}) {
  return (
    <fieldset className="entry-about">
      <legend>Who and when</legend>
      <TextField
        label="Person"
        autoComplete="name"
        value={draft.person}
        error={errors.person}
        onChange={({ target }) => onChange({ person: target.value })}
      />
      <TextField
        label="Time"
        type="datetime-local"
        hint={`The facility’s clock, ${zone}`}
        value={draft.at}
        error={errors.at}
        onChange={({ target }) => onChange({ at: target.value })}
      />
      <NoteField
        label="Note"
        value={draft.note}
        error={errors.note}
        onChange={({ target }) => onChange({ note: target.value })}
      />
    </fieldset>
  )
}
