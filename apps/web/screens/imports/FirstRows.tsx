import type { Detection } from '@sightglass/contract'
import { WideTable } from '../../shared/WideTable.tsx'
import type { LayoutDraft } from './layout.ts'

const ROWS_SHOWN = 6

export function FirstRows({ detection, draft }: { detection: Detection; draft: LayoutDraft }) {
  const role = (index: number) => {
    if (index === draft.dateColumn) return draft.timeColumn === null ? 'date and time' : 'date'
    if (index === draft.timeColumn) return 'time'
    return index === draft.keyColumn ? 'key' : ''
  }
  return (
    <WideTable label="The first rows">
      <table className="ledger first-rows">
        <caption>The first rows as they were read</caption>
        <thead>
          <tr>
            {detection.columns.map(({ index, name }) => (
              <th scope="col" key={index}>
                {name || `column ${index + 1}`} {role(index) && <span className="unit">{role(index)}</span>}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {detection.firstRows.slice(0, ROWS_SHOWN).map((row, line) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: rows of a file have no other name
            <tr key={line}>
              {detection.columns.map(({ index }) => (
                <td key={index}>{row[index] ?? ''}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </WideTable>
  )
}
