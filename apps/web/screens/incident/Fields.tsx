'use client'
import { INCIDENT_KINDS, INCIDENT_WORDS, type IncidentKind } from '@sightglass/chemistry'
import { useId } from 'react'
import { CheckField, NoteField, TextField, TimeField } from '../../shared/Field.tsx'
import { unitOf } from '../../shared/measure.ts'
import { useUnits } from '../../shared/Units.tsx'
import type { ReportDraft, ReportErrors } from './form.ts'

const KIND_HINTS: Record<IncidentKind, string> = {
  formedStool: 'Solid, and taken out in one piece or nearly so',
  diarrhea: 'Loose or watery; when in doubt, this one',
  vomit: 'Food or stomach content; spat-out water is none',
}

/** What happened, when, who says so; and what an authority asked for, if it did. */
export function ReportFields({
  draft,
  errors,
  zone,
  onChange,
}: {
  draft: ReportDraft
  errors: ReportErrors
  zone: string
  onChange: (change: Partial<ReportDraft>) => void
}) {
  const wrong = useId()
  const chlorine = unitOf('mg/L', useUnits()).label
  return (
    <>
      <fieldset className="incident-kinds" aria-describedby={errors.kind ? wrong : undefined}>
        <legend>What got into the water</legend>
        {INCIDENT_KINDS.map((kind) => (
          <label key={kind} className={draft.kind === kind ? 'chosen' : undefined}>
            <input
              type="radio"
              name="kind"
              checked={draft.kind === kind}
              aria-invalid={errors.kind ? true : undefined}
              onChange={() => onChange({ kind })}
            />
            <span>
              <strong>{INCIDENT_WORDS[kind]}</strong> <span className="hint">{KIND_HINTS[kind]}</span>
            </span>
          </label>
        ))}
        {errors.kind && (
          <p className="field-error" role="alert" id={wrong}>
            {errors.kind}
          </p>
        )}
      </fieldset>
      <fieldset className="entry-about">
        <legend>When, and who says so</legend>
        <TimeField
          label="When it happened or was found"
          zone={zone}
          value={draft.at}
          error={errors.at}
          onChange={({ target }) => onChange({ at: target.value })}
        />
        <TextField
          label="Person"
          autoComplete="name"
          value={draft.person}
          error={errors.person}
          onChange={({ target }) => onChange({ person: target.value })}
        />
        <NoteField
          label="Note"
          hint="Where in the water, who was told"
          value={draft.note}
          error={errors.note}
          onChange={({ target }) => onChange({ note: target.value })}
        />
      </fieldset>
      <fieldset className="entry-about">
        <legend>What the health department asked for</legend>
        <CheckField
          label="It named a level and a time of its own"
          checked={draft.instructed}
          onChange={({ target }) => onChange({ instructed: target.checked })}
        />
        {draft.instructed && (
          <>
            <TextField
              label={`Free chlorine to hold, ${chlorine}`}
              inputMode="decimal"
              value={draft.level}
              error={errors.level}
              onChange={({ target }) => onChange({ level: target.value })}
            />
            <TextField
              label="For how many minutes"
              inputMode="decimal"
              value={draft.hold}
              error={errors.hold}
              onChange={({ target }) => onChange({ hold: target.value })}
            />
            <TextField
              label="pH at most"
              hint="Leave empty for 7.5, as published"
              inputMode="decimal"
              value={draft.phMax}
              error={errors.phMax}
              onChange={({ target }) => onChange({ phMax: target.value })}
            />
            <TextField
              label="Who asked for it"
              value={draft.by}
              error={errors.by}
              onChange={({ target }) => onChange({ by: target.value })}
            />
          </>
        )}
      </fieldset>
    </>
  )
}
