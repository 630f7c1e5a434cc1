'use client'
import { planFor } from '@sightglass/chemistry'
import { useMemo } from 'react'
import type { DoseEntry } from '../../shared/amounts.ts'
import { DoseFields } from '../../shared/DoseFields.tsx'
import { type Draft, readTexts } from '../../shared/entry.ts'
import { useUnits } from '../../shared/Units.tsx'
import { useOnSite } from '../../shared/useOnSite.ts'
import { useSettled } from '../../shared/useSettled.ts'
import { prepareRetest } from './retest.ts'
import { useKnown } from './useAdvice.ts'

interface Given {
  bodyId: string
  draft: Draft
  /** What was added since the test before. */
  doses: readonly DoseEntry[]
  onChange: (doses: DoseEntry[]) => void
}

/** A test after a dose: what it should show, and what it means when it shows something else. */
export function Retest({ bodyId, draft, doses, onChange }: Given) {
  const system = useUnits()
  const { known } = useKnown(bodyId)
  const onSite = useOnSite(bodyId, known?.snapshot ?? null).chemicals
  const settled = useSettled(draft)
  const model = useMemo(() => {
    if (!known || doses.length === 0) return null
    const before = planFor(known.snapshot, known.profile, Date.now())
    return prepareRetest(known.snapshot, before, doses, readTexts(settled.texts, [], settled.system).values, system)
  }, [known, settled, doses, system])
  return (
    <details className="retest" open={doses.length > 0 || undefined}>
      <summary>Something was added since the test before</summary>
      <DoseFields
        legend="What was added; it is not stored"
        doses={doses}
        onSite={onSite.map(({ key }) => key)}
        onChange={onChange}
      />
      {model?.trouble && <p className="field-error">{model.trouble}</p>}
      {model && model.rows.length > 0 && (
        <table className="ledger">
          <caption>What this test should show</caption>
          <thead>
            <tr>
              <th scope="col">Value</th>
              <th scope="col" className="number">
                Before
              </th>
              <th scope="col" className="number">
                Expected
              </th>
              <th scope="col">Within</th>
            </tr>
          </thead>
          <tbody>
            {model.rows.map(({ label, before, expected, band }) => (
              <tr key={label}>
                <th scope="row">{label}</th>
                <td className="number">{before}</td>
                <td className="number">{expected}</td>
                <td className="faint">{band}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {model && model.says.length > 0 && (
        <ul className="advice" aria-label="What differs">
          {model.says.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
    </details>
  )
}
