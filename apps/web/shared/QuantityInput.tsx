'use client'
import type { ReaderUnit } from '@sightglass/chemistry'
import { type ComponentProps, useState } from 'react'
import { plainNumber, typedNumber } from './numbers.ts'

/** How a stored number stands in a field: enough figures that typing it again gives the same water. */
export const fieldText = (stored: number | null, { toReader }: ReaderUnit) =>
  stored === null
    ? ''
    : plainNumber(Number(toReader(stored).toPrecision(4)), 4)
        .replaceAll(',', '')
        .replace('−', '-')

/** A number in the reader's unit, kept in the stored one. What is typed stays as it was typed until the number changes from elsewhere. */
export function QuantityInput({
  stored,
  unit,
  onStored,
  ...input
}: {
  stored: number | null
  unit: ReaderUnit
  onStored: (stored: number | null) => void
} & Omit<ComponentProps<'input'>, 'value' | 'onChange' | 'type'>) {
  const [typed, setTyped] = useState({ text: fieldText(stored, unit), stored, unit })
  const stale = typed.stored !== stored || typed.unit !== unit
  const text = stale ? fieldText(stored, unit) : typed.text
  const wrong = typedNumber(text).state === 'wrong'
  return (
    <input
      inputMode="decimal"
      autoComplete="off"
      {...input}
      type="text"
      aria-invalid={wrong || input['aria-invalid'] || undefined}
      value={text}
      onChange={({ target }) => {
        const read = typedNumber(target.value)
        const next = read.state === 'number' ? unit.toStored(read.value) : read.state === 'empty' ? null : stored
        setTyped({ text: target.value, stored: next, unit })
        if (next !== stored) onStored(next)
      }}
    />
  )
}
