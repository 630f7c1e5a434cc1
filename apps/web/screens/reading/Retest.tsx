'use client'
import type { Chemical } from '@sightglass/chemistry'
import type { DoseEntry } from '../../shared/amounts.ts'
import { DoseFields } from '../../shared/DoseFields.tsx'
import type { RetestModel } from './retest.ts'

interface Given {
  doses: readonly DoseEntry[]
  onSite: readonly Chemical[]
  model: RetestModel | null
  onChange: (doses: DoseEntry[]) => void
}

/** A test after a dose: what it should show, and what it means when it shows something else. */
export function Retest({ doses, onSite, model, onChange }: Given) {
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
