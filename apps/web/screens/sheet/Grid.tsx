'use client'
import type { Body } from '@sightglass/contract'
import { type KeyboardEvent, useRef, useState } from 'react'
import type { EntryKey } from '../../shared/entry.ts'
import type { Range } from '../../shared/measure.ts'
import { WideTable } from '../../shared/WideTable.tsx'
import {
  type CellTrouble,
  columnTitle,
  nextCell,
  pastedCells,
  pasteInto,
  rangeOfCell,
  type Sheet,
  type SheetRow,
  type UnusualCell,
} from './sheet.ts'

interface Given {
  sheet: Sheet
  bodies: Body[]
  ranges: Map<string, Partial<Record<string, Range>>>
  errors: CellTrouble[]
  unusual: UnusualCell[]
  onChange: (sheet: Sheet) => void
}

export function Grid({ sheet, bodies, ranges, errors, unusual, onChange }: Given) {
  const table = useRef<HTMLTableElement>(null)
  const [lost, setLost] = useState(0)
  const setRow = (rowId: string, part: Partial<SheetRow>) =>
    onChange({ ...sheet, rows: sheet.rows.map((row) => (row.id === rowId ? { ...row, ...part } : row)) })
  const type = (row: SheetRow, key: EntryKey, text: string) =>
    setRow(row.id, {
      texts: { ...row.texts, [key]: text },
      confirmed: row.confirmed.filter((confirmed) => confirmed !== key),
    })

  function move(event: KeyboardEvent<HTMLInputElement>, row: number, column: number) {
    const { selectionStart, selectionEnd, value } = event.currentTarget
    const caret = { atStart: selectionEnd === 0, atEnd: selectionStart === value.length }
    const size = { rows: sheet.rows.length, columns: sheet.columns.length }
    const to = nextCell({ row, column }, event.key, size, caret)
    if (event.key === 'Enter') event.preventDefault()
    if (!to) return
    event.preventDefault()
    const input = table.current?.querySelector<HTMLInputElement>(`[data-cell="${to.row}.${to.column}"]`)
    input?.focus()
    input?.select()
  }

  function paste(event: React.ClipboardEvent, row: SheetRow, key: EntryKey) {
    const cells = pastedCells(event.clipboardData.getData('text'))
    if (cells.length === 1 && cells[0]?.length === 1) return
    event.preventDefault()
    const pasted = pasteInto(sheet, row.id, key, cells)
    setLost(pasted.lost)
    onChange(pasted.sheet)
  }

  return (
    <>
      <WideTable label="The sheet">
        <table className="ledger sheet" ref={table}>
          <thead>
            <tr>
              <th scope="col">Line</th>
              <th scope="col">Body of water</th>
              <th scope="col">Time</th>
              {sheet.columns.map((key) => {
                const { title, unit } = columnTitle(key, sheet.system)
                return (
                  <th scope="col" key={key} className="number">
                    {title} {unit && <span className="unit">{unit}</span>}
                  </th>
                )
              })}
            </tr>
          </thead>
          <tbody>
            {sheet.rows.map((row, line) => {
              const body = bodies.find(({ id }) => id === row.bodyId)
              const troubleOf = (key: CellTrouble['key']) =>
                errors.find((error) => error.rowId === row.id && error.key === key)?.message
              const name = `Line ${line + 1}`
              return (
                <tr key={row.id}>
                  <th scope="row" className="number">
                    {line + 1}
                  </th>
                  <td>
                    <select
                      className="cell-input"
                      aria-label={`${name}, body of water`}
                      aria-invalid={troubleOf('row') ? true : undefined}
                      value={row.bodyId}
                      onChange={({ target }) => setRow(row.id, { bodyId: target.value })}
                    >
                      <option value="">choose</option>
                      {bodies.map(({ id, name: bodyName }) => (
                        <option key={id} value={id}>
                          {bodyName}
                        </option>
                      ))}
                    </select>
                  </td>
                  <td>
                    <input
                      type="time"
                      className="cell-input"
                      aria-label={`${name}, time`}
                      aria-invalid={troubleOf('time') ? true : undefined}
                      value={row.time}
                      onChange={({ target }) => setRow(row.id, { time: target.value })}
                    />
                  </td>
                  {sheet.columns.map((key, column) => {
                    const range = rangeOfCell(key, ranges.get(row.bodyId) ?? {}, sheet.system)
                    const trouble = troubleOf(key)
                    const strange = unusual.some((cell) => cell.rowId === row.id && cell.key === key)
                    return (
                      <td key={key} className="number">
                        <input
                          type="text"
                          inputMode="decimal"
                          autoComplete="off"
                          className={`cell-input cell-number${strange ? ' cell-unusual' : ''}`}
                          data-cell={`${line}.${column}`}
                          aria-label={`${name}, ${body?.name ?? 'no body'}, ${columnTitle(key, sheet.system).title}`}
                          aria-invalid={trouble ? true : undefined}
                          title={trouble}
                          value={row.texts[key] ?? ''}
                          onChange={({ target }) => type(row, key, target.value)}
                          onKeyDown={(event) => move(event, line, column)}
                          onPaste={(event) => paste(event, row, key)}
                        />
                        <span className="cell-range">{range}</span>
                      </td>
                    )
                  })}
                </tr>
              )
            })}
          </tbody>
        </table>
      </WideTable>
      {lost > 0 && (
        <p className="notice" role="status">
          {lost} of the pasted cells did not fit into the sheet: add lines or show more columns, then paste again.
        </p>
      )}
    </>
  )
}
