import { type ReactNode, useId } from 'react'

interface Shared {
  label: ReactNode
  hint?: ReactNode
  error?: ReactNode
}

/** A label, its control, a hint and what is wrong with it, tied together for screen readers. */
export function Field({
  label,
  hint,
  error,
  children,
}: Shared & { children: (ids: { id: string; 'aria-describedby'?: string; 'aria-invalid'?: true }) => ReactNode }) {
  const id = useId()
  const described = [hint && `${id}-hint`, error && `${id}-error`].filter(Boolean).join(' ')
  return (
    <div className={`field${error ? ' field-wrong' : ''}`}>
      <label htmlFor={id}>{label}</label>
      {children({ id, 'aria-describedby': described || undefined, 'aria-invalid': error ? true : undefined })}
      {hint && (
        <span className="hint" id={`${id}-hint`}>
          {hint}
        </span>
      )}
      {error && (
        <span className="field-error" id={`${id}-error`} role="alert">
          {error}
        </span>
      )}
    </div>
  )
}

export function TextField({ label, hint, error, ...input }: Shared & React.ComponentProps<'input'>) {
  return (
    <Field label={label} hint={hint} error={error}>
      {(ids) => <input type="text" autoComplete="off" {...input} {...ids} />}
    </Field>
  )
}

/** A time on the clock of the facility. */
export const TimeField = ({ zone, ...input }: { zone: string } & React.ComponentProps<typeof TextField>) => (
  <TextField type="datetime-local" hint={`The facility’s clock, ${zone}`} {...input} />
)

export function NoteField({ label, hint, error, ...input }: Shared & React.ComponentProps<'textarea'>) {
  return (
    <Field label={label} hint={hint} error={error}>
      {(ids) => <textarea rows={2} {...input} {...ids} />}
    </Field>
  )
}

export interface Option {
  value: string
  label: string
}

export function SelectField({
  label,
  hint,
  error,
  options,
  empty,
  ...input
}: Shared & { options: Option[]; empty?: string } & React.ComponentProps<'select'>) {
  return (
    <Field label={label} hint={hint} error={error}>
      {(ids) => (
        <select {...input} {...ids}>
          {empty !== undefined && <option value="">{empty}</option>}
          {options.map((option) => (
            <option key={option.value} value={option.value}>
              {option.label}
            </option>
          ))}
        </select>
      )}
    </Field>
  )
}

export function CheckField({ label, error, ...input }: Shared & React.ComponentProps<'input'>) {
  const id = useId()
  return (
    <div className="check">
      <input type="checkbox" id={id} {...input} />
      <label htmlFor={id}>{label}</label>
      {error && <span className="field-error">{error}</span>}
    </div>
  )
}
