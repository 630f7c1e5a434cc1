'use client'
import { CHEMICALS, type ChemicalKey, labelOf } from '@sightglass/chemistry'
import { useId } from 'react'
import { uuidv7 } from 'uuidv7'
import { amountUnits, type DoseEntry, unitOfDose } from './amounts.ts'
import { QuantityInput } from './QuantityInput.tsx'
import { useUnits } from './Units.tsx'

/** Chemicals and how much of each, in the reader's units. */
export function DoseFields({
  legend,
  doses,
  onSite,
  onChange,
}: {
  legend: string
  doses: readonly DoseEntry[]
  onSite: readonly ChemicalKey[]
  onChange: (doses: DoseEntry[]) => void
}) {
  const system = useUnits()
  const id = useId()
  const others = (Object.keys(CHEMICALS) as ChemicalKey[]).filter((key) => !onSite.includes(key))
  const set = (dose: DoseEntry) => onChange(doses.map((one) => (one.id === dose.id ? dose : one)))
  const options = (keys: readonly ChemicalKey[]) =>
    keys.map((key) => (
      <option key={key} value={key}>
        {labelOf(CHEMICALS[key])}
      </option>
    ))
  return (
    <fieldset className="doses">
      <legend>{legend}</legend>
      {doses.map((dose) => {
        const { chemical, amount } = dose
        const unit = unitOfDose(dose, system)
        const name = labelOf(CHEMICALS[chemical])
        return (
          <div className="dose" key={dose.id}>
            <label htmlFor={`${id}-${dose.id}`}>{name}</label>
            <QuantityInput
              id={`${id}-${dose.id}`}
              className="number-cell"
              stored={amount}
              unit={unit}
              onStored={(stored) => set({ ...dose, amount: stored })}
            />
            <select
              aria-label={`Unit of ${name}`}
              value={unit.label}
              onChange={({ target }) => set({ ...dose, unit: target.value })}
            >
              {amountUnits(chemical, system).map(({ label }) => (
                <option key={label}>{label}</option>
              ))}
            </select>
            <button
              type="button"
              className="link-button"
              aria-label={`Take ${name} away`}
              onClick={() => onChange(doses.filter((one) => one.id !== dose.id))}
            >
              Take away
            </button>
          </div>
        )
      })}
      <select
        aria-label="Add a chemical"
        value=""
        onChange={({ target }) => {
          const chemical = target.value as ChemicalKey
          const unit = amountUnits(chemical, system).at(-1)?.label ?? ''
          onChange([...doses, { id: uuidv7(), chemical, amount: null, unit }])
        }}
      >
        <option value="">Add a chemical …</option>
        {onSite.length > 0 && <optgroup label="On site">{options(onSite)}</optgroup>}
        <optgroup label={onSite.length > 0 ? 'Others' : 'Chemicals'}>{options(others)}</optgroup>
      </select>
    </fieldset>
  )
}
