'use client'
import type { Quantity } from '@sightglass/chemistry'
import type { Body } from '@sightglass/contract'
import { WideTable } from '../../shared/WideTable.tsx'
import {
  type ColumnRow,
  type ColumnUnit,
  type LayoutDraft,
  quantityOptions,
  UNITS_FOR,
  withBody,
  withMatch,
} from './layout.ts'

interface Given {
  groups: { key: string | null; rows: ColumnRow[] }[]
  bodies: Body[]
  draft: LayoutDraft
  onChange: (draft: LayoutDraft) => void
}

export function Matching({ groups, bodies, draft, onChange }: Given) {
  // One value column: the words of the key column are the rows of one table.
  if (groups.every(({ key, rows }) => key !== null && rows.length === 1))
    return (
      <MatchTable
        label="Rows"
        first="Rows of"
        rows={groups.flatMap(({ rows }) => rows)}
        {...{ bodies, draft, onChange }}
      />
    )
  return (
    <div className="matching">
      {groups.map(({ key, rows }) => (
        <section key={key ?? ''} aria-label={key === null ? 'Columns' : `Rows of “${key}”`}>
          {key !== null && (
            <h3 className="match-key">
              Rows of “{key}”
              {rows.length > 1 && (
                <span className="inline-field">
                  all to
                  <BodySelect
                    label={`All columns of ${key} to`}
                    bodies={bodies}
                    value={sameBody(rows)}
                    onChange={(bodyId) => onChange(withBody(draft, rows, bodyId))}
                  />
                </span>
              )}
            </h3>
          )}
          {key === null && rows.filter(({ match }) => match.quantity).length > 1 && (
            <p className="match-key inline-field">
              All columns are of
              <BodySelect
                label="All columns are of"
                bodies={bodies}
                value={sameBody(rows)}
                onChange={(bodyId) => onChange(withBody(draft, rows, bodyId))}
              />
            </p>
          )}
          <MatchTable
            label={key === null ? 'Columns' : `Columns of ${key}`}
            first="Column"
            {...{ rows, bodies, draft, onChange }}
          />
        </section>
      ))}
    </div>
  )
}

function MatchTable({
  label,
  first,
  rows,
  ...rest
}: { label: string; first: 'Column' | 'Rows of'; rows: ColumnRow[] } & Omit<Given, 'groups'>) {
  const byKey = first === 'Rows of'
  return (
    <WideTable label={label}>
      <table className="ledger match-table">
        <thead>
          <tr>
            <th scope="col">{first}</th>
            {!byKey && <th scope="col">Examples</th>}
            <th scope="col">Holds</th>
            <th scope="col">Written in</th>
            <th scope="col">Of</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <MatchRow key={`${row.column} ${row.key}`} row={row} byKey={byKey} {...rest} />
          ))}
        </tbody>
      </table>
    </WideTable>
  )
}

const sameBody = (rows: ColumnRow[]) => {
  const ids = new Set(rows.filter(({ match }) => match.quantity).map(({ match }) => match.bodyId))
  return ids.size === 1 ? ([...ids][0] ?? '') : ''
}

function MatchRow({ row, byKey, bodies, draft, onChange }: { row: ColumnRow; byKey: boolean } & Omit<Given, 'groups'>) {
  const { match, name } = row
  const what = row.key === null ? name : `${row.key}, ${name}`
  return (
    <tr>
      <th scope="row">{byKey ? row.key : name}</th>
      {!byKey && <td className="faint">{row.examples.slice(0, 3).join(' · ')}</td>}
      <td>
        <select
          className="cell-input"
          aria-label={`${what} holds`}
          value={match.quantity}
          onChange={({ target }) => {
            const quantity = target.value as Quantity | ''
            const only = bodies.length === 1 ? (bodies[0]?.id ?? '') : match.bodyId
            onChange(withMatch(draft, row, { quantity, bodyId: quantity ? only : '' }))
          }}
        >
          <option value="">leave it out</option>
          {quantityOptions.map(({ value, label }) => (
            <option key={value} value={value}>
              {label}
            </option>
          ))}
        </select>
      </td>
      <td>
        {match.quantity && (
          <select
            className="cell-input"
            aria-label={`${what} is written in`}
            value={match.unit}
            onChange={({ target }) => onChange(withMatch(draft, row, { unit: target.value as ColumnUnit }))}
          >
            {UNITS_FOR[match.quantity].map(([unit, label]) => (
              <option key={unit} value={unit}>
                {label}
              </option>
            ))}
          </select>
        )}
      </td>
      <td>
        {match.quantity && (
          <BodySelect
            bodies={bodies}
            label={`${what} is of`}
            value={match.bodyId}
            onChange={(bodyId) => onChange(withMatch(draft, row, { bodyId }))}
          />
        )}
      </td>
    </tr>
  )
}

function BodySelect({
  bodies,
  value,
  label,
  onChange,
}: {
  bodies: Body[]
  value: string
  label?: string
  onChange: (bodyId: string) => void
}) {
  return (
    <select className="cell-input" aria-label={label} value={value} onChange={({ target }) => onChange(target.value)}>
      <option value="">choose</option>
      {bodies.map(({ id, name }) => (
        <option key={id} value={id}>
          {name}
        </option>
      ))}
    </select>
  )
}
