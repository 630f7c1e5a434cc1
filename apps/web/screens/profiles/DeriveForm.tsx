'use client'
import type { Unit } from '@sightglass/chemistry'
import type { Profile } from '@sightglass/contract'
import { useRouter } from 'next/navigation'
import { type FormEvent, useState } from 'react'
import { call } from '../../lib/api.ts'
import { CheckField, SelectField, TextField } from '../../shared/Field.tsx'
import { type System, unitOf } from '../../shared/measure.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { type Derived, emptyRule, type OwnRule, readDerived } from './derive.ts'
import type { derivable } from './prepare.ts'

interface Given {
  parent: Profile
  rules: ReturnType<typeof derivable>
  system: System
}

/** A profile of the company's own: some rules of this one with another value, each with why and whose. */
export function DeriveForm({ parent, rules, system }: Given) {
  const router = useRouter()
  const [typed, setTyped] = useState<Derived>({ name: '', rules: [emptyRule] })
  const [errors, setErrors] = useState<Record<string, string>>({})
  const [failure, setFailure] = useState<unknown>(null)
  const unitsOf = new Map(rules.map(({ key, unit }) => [key, unit]))
  const change = (index: number, part: Partial<OwnRule>) =>
    setTyped((now) => ({ ...now, rules: now.rules.map((rule, n) => (n === index ? { ...rule, ...part } : rule)) }))

  async function store(event: FormEvent) {
    event.preventDefault()
    const read = readDerived(typed, unitsOf, system)
    setErrors(read.errors)
    setFailure(null)
    if (Object.keys(read.errors).length) return
    try {
      const { profile } = await call('createProfile', { body: { ...read.body, parentKey: parent.key } })
      router.push(`/profiles/${encodeURIComponent(profile.key)}`)
    } catch (error) {
      setFailure(error)
    }
  }

  return (
    <details className="derive">
      <summary>Derive your own profile from this one</summary>
      <form onSubmit={store} noValidate className="derive-form">
        <TextField
          label="Name of your profile"
          value={typed.name}
          error={errors.name}
          onChange={({ target }) => setTyped((now) => ({ ...now, name: target.value }))}
        />
        {typed.rules.map((rule, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: rows are only added at the end and taken from there
          <fieldset key={index} className="own-rule">
            <legend>Rule {index + 1}</legend>
            <SelectField
              label="Rule"
              empty="choose"
              options={rules.map(({ key, title }) => ({ value: key, label: title }))}
              value={rule.ruleKey}
              error={errors[`${index}.ruleKey`]}
              onChange={({ target }) => change(index, { ruleKey: target.value })}
            />
            <CheckField
              label="Take this rule away"
              checked={rule.takenAway}
              onChange={({ target }) => change(index, { takenAway: target.checked })}
            />
            {!rule.takenAway && (
              <TextField
                label={`Own value${unitLabel(unitsOf.get(rule.ruleKey), system)}`}
                inputMode="decimal"
                value={rule.value}
                error={errors[`${index}.value`]}
                onChange={({ target }) => change(index, { value: target.value })}
              />
            )}
            <TextField
              label="Why"
              value={rule.reason}
              error={errors[`${index}.reason`]}
              onChange={({ target }) => change(index, { reason: target.value })}
            />
            <TextField
              label="Whose limit it is"
              hint="The county’s order, the contract, your own standard …"
              value={rule.citation}
              error={errors[`${index}.citation`]}
              onChange={({ target }) => change(index, { citation: target.value })}
            />
          </fieldset>
        ))}
        {failure !== null && <ProblemNote error={failure} />}
        <p className="buttons">
          <button
            type="button"
            className="button quiet"
            onClick={() => setTyped((now) => ({ ...now, rules: [...now.rules, emptyRule] }))}
          >
            Another rule
          </button>
          {typed.rules.length > 1 && (
            <button
              type="button"
              className="button quiet"
              onClick={() => setTyped((now) => ({ ...now, rules: now.rules.slice(0, -1) }))}
            >
              Drop the last rule
            </button>
          )}
          <button type="submit" className="button">
            Create the profile
          </button>
        </p>
      </form>
    </details>
  )
}

const unitLabel = (unit: string | undefined, system: System) => {
  const label = unit ? unitOf(unit as Unit, system).label : ''
  return label && `, ${label}`
}
