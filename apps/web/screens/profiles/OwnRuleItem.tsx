'use client'
import type { AnyRule } from '@sightglass/chemistry'
import { CheckField, TextField } from '../../shared/Field.tsx'
import { type System, unitOf } from '../../shared/measure.ts'
import { type OwnRule, unitOfRule } from './editor.ts'
import { ruleLine } from './prepare.ts'

interface Given {
  any: AnyRule
  /** What the company sets in its place; null where it takes it as it is. */
  own: OwnRule | null
  /** Why it is laxer than the law; null where it is not. */
  laxer: string | null
  units: System
  errors: Record<string, string>
  onBegin: () => void
  onChange: (rule: OwnRule | null) => void
}

export function OwnRuleItem({ any, own, laxer, units, errors, onBegin, onChange }: Given) {
  const line = ruleLine(any, units)
  return (
    <li className={own ? 'rule-own' : undefined}>
      <div className="rule-line">
        <div>
          <h3>{line.name}</h3>
          <p>
            {line.asked}. <span className="faint">{line.citation}</span>
          </p>
        </div>
        {!own && (
          <button
            type="button"
            className="button quiet small"
            onClick={onBegin}
            aria-label={`Set your own: ${line.name}`}
          >
            Set your own
          </button>
        )}
      </div>
      {own && <OwnFields {...{ any, own, laxer, units, errors, onChange }} name={line.name} />}
    </li>
  )
}

function OwnFields({
  any,
  own,
  laxer,
  units,
  errors,
  onChange,
  name,
}: Omit<Given, 'onBegin' | 'own'> & { own: OwnRule; name: string }) {
  const at = `rule.${any.rule.key}`
  // a confirmation is of one value: another has to be confirmed again
  const change = (part: Partial<OwnRule>) => onChange({ ...own, laxerConfirmed: false, ...part })
  return (
    <fieldset className="own-rule">
      <legend>
        <span className="unseen">{name}: </span>Your own
      </legend>
      {any.sort === 'forbidden' ? (
        <p>This rule has no number: it is taken away.</p>
      ) : (
        <CheckField
          label="Take this rule away"
          checked={own.takenAway}
          onChange={({ target }) => change({ takenAway: target.checked })}
        />
      )}
      {!own.takenAway && (
        <TextField
          label={valueLabel(any, units)}
          inputMode="decimal"
          value={own.value}
          error={errors[`${at}.value`]}
          onChange={({ target }) => change({ value: target.value })}
        />
      )}
      <TextField
        label="Why"
        value={own.reason}
        error={errors[`${at}.reason`]}
        onChange={({ target }) => onChange({ ...own, reason: target.value })}
      />
      <TextField
        label="Whose limit it is"
        hint="The county’s order, the contract, your own standard …"
        value={own.citation}
        error={errors[`${at}.citation`]}
        onChange={({ target }) => onChange({ ...own, citation: target.value })}
      />
      {laxer && (
        <div className="problem" role="alert">
          <p>
            <strong>{laxer}</strong> Local law prevails, and a limit laxer than it can hurt people. Only who may do so
            (by a variance, or because this rule is not about these pools) can confirm it. That is stored with your
            name.
          </p>
          <CheckField
            label="I know that, and it is meant"
            checked={own.laxerConfirmed}
            error={errors[`${at}.laxerConfirmed`]}
            onChange={({ target }) => onChange({ ...own, laxerConfirmed: target.checked })}
          />
        </div>
      )}
      <p className="buttons">
        <button type="button" className="button quiet small" onClick={() => onChange(null)}>
          Leave the rule as it is
        </button>
      </p>
    </fieldset>
  )
}

function valueLabel(any: AnyRule, units: System): string {
  if (any.sort === 'test') return 'At most so many hours between two tests'
  const unit = unitOfRule(any)
  const label = unit ? unitOf(unit, units).label : ''
  const side = any.sort === 'limit' && any.rule.side === 'min' ? 'Your own minimum' : 'Your own maximum'
  return label ? `${side}, ${label}` : side
}
