'use client'
import type { Method, Plant, Profile } from '@sightglass/contract'
import Link from 'next/link'
import { type FormEvent, useEffect, useMemo, useState } from 'react'
import { uuidv7 } from 'uuidv7'
import { call } from '../../lib/api.ts'
import type { EntryKey } from '../../shared/entry.ts'
import { CheckField, SelectField, TextField } from '../../shared/Field.tsx'
import { counted } from '../../shared/numbers.ts'
import { ProblemNote, problemFrom } from '../../shared/Problem.tsx'
import { rangesFor } from '../../shared/ranges.ts'
import { usePerson, useStored } from '../../shared/stored.ts'
import { localInput } from '../../shared/time.ts'
import { useUnits } from '../../shared/Units.tsx'
import { METHOD_WORDS, optionsOf } from '../../shared/words.ts'
import { Grid } from './Grid.tsx'
import { SheetAdvice } from './SheetAdvice.tsx'
import {
  ALL_COLUMNS,
  type CellTrouble,
  columnsFor,
  columnTitle,
  readSheet,
  type Sheet,
  type SheetRow,
  sheetInSystem,
  troublesOf,
  type UnusualCell,
} from './sheet.ts'

export function SheetForm({ plant, profile }: { plant: Plant; profile: Profile | null }) {
  const zone = plant.facility.timeZone
  const system = useUnits()
  const person = usePerson()
  const kept = useStored<Sheet | null>(`draft.sheet.${plant.facility.id}`, null)
  const [errors, setErrors] = useState<CellTrouble[]>([])
  const [head, setHead] = useState<{ date?: string; person?: string; rows?: string }>({})
  const [asked, setAsked] = useState<UnusualCell[]>([])
  const [failure, setFailure] = useState<unknown>(null)
  const [storing, setStoring] = useState(false)
  const [stored, setStored] = useState<{ count: number; bodyIds: string[] } | null>(null)
  const bodies = useMemo(() => plant.bodies.filter(({ retiredAt }) => retiredAt === null), [plant])
  const ranges = new Map(bodies.map((body) => [body.id, rangesFor(profile, body)]))

  const row = (bodyId: string): SheetRow => ({
    id: uuidv7(),
    bodyId,
    time: localInput(Date.now(), zone).slice(11),
    texts: {},
    confirmed: [],
  })
  const blank = (name: string): Sheet => ({
    facilityId: plant.facility.id,
    date: localInput(Date.now(), zone).slice(0, 10),
    person: name,
    method: 'dropTest',
    rows: bodies.map(({ id }) => row(id)),
    columns: columnsFor(bodies.map(({ sanitizerSystem }) => sanitizerSystem)),
    system,
  })
  const ready = kept.ready && person.ready
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when what was kept has been read
  useEffect(() => {
    if (ready && kept.value === null) kept.set(blank(person.value))
  }, [ready])
  if (!ready || !kept.value) return <p className="faint">Reading what this browser kept …</p>
  const sheet = sheetInSystem(kept.value, system)
  const change = (part: Partial<Sheet>) => kept.set({ ...sheet, ...part })

  const stillUnusual = asked.filter(({ rowId, key, words }) =>
    readSheet({ ...sheet, rows: sheet.rows.map((own) => ({ ...own, confirmed: [] })) }, zone, Date.now()).unusual.some(
      (now) => now.rowId === rowId && now.key === key && now.words === words,
    ),
  )

  async function store(event: FormEvent) {
    event.preventDefault()
    if (storing) return
    const read = readSheet(sheet, zone, Date.now())
    setErrors(read.errors)
    setHead(read.head)
    setAsked([...stillUnusual, ...read.unusual])
    setFailure(null)
    setStored(null)
    if (read.errors.length || read.unusual.length || Object.keys(read.head).length) return
    setStoring(true)
    try {
      const { readings } = await call('createReadings', { body: { readings: read.readings } })
      person.set(sheet.person.trim())
      setStored({ count: readings.length, bodyIds: [...new Set(readings.map(({ bodyId }) => bodyId))] })
      setAsked([])
      kept.set(blank(sheet.person.trim()))
    } catch (error) {
      const { errors: atCells, rest } = troublesOf(problemFrom(error), read.rowIds)
      setErrors(atCells)
      setFailure(atCells.length && rest.length === 0 ? null : error)
    }
    setStoring(false)
  }

  const nameOf = (bodyId: string) => bodies.find(({ id }) => id === bodyId)?.name ?? ''
  const lineOf = (rowId: string) => sheet.rows.findIndex(({ id }) => id === rowId) + 1
  return (
    <form onSubmit={store} noValidate className="sheet-form">
      <div className="sheet-head">
        <TextField
          label="Date"
          type="date"
          hint={`The facility’s clock, ${zone}`}
          value={sheet.date}
          error={head.date}
          onChange={({ target }) => change({ date: target.value })}
        />
        <TextField
          label="Person"
          autoComplete="name"
          value={sheet.person}
          error={head.person}
          onChange={({ target }) => change({ person: target.value })}
        />
        <SelectField
          label="Method"
          options={optionsOf(METHOD_WORDS)}
          value={sheet.method}
          onChange={({ target }) => change({ method: target.value as Method })}
        />
        <details className="menu">
          <summary>Columns</summary>
          <fieldset className="menu-panel choices">
            <legend>Columns of the sheet</legend>
            {ALL_COLUMNS.map((key) => (
              <label key={key}>
                <input
                  type="checkbox"
                  checked={sheet.columns.includes(key)}
                  onChange={() => change({ columns: toggledColumn(sheet.columns, key) })}
                />
                <span>{columnTitle(key, system).title}</span>
              </label>
            ))}
          </fieldset>
        </details>
      </div>
      <p className="keys">
        <kbd>Tab</kbd> and arrows move, <kbd>Enter</kbd> goes down, cells of a spreadsheet can be pasted. Empty lines
        are left out.
      </p>
      <Grid
        sheet={sheet}
        bodies={bodies}
        ranges={ranges}
        errors={errors}
        unusual={stillUnusual}
        onChange={(next) => kept.set(next)}
      />
      <p className="buttons">
        <button
          type="button"
          className="button quiet small"
          onClick={() => change({ rows: [...sheet.rows, row(sheet.rows.at(-1)?.bodyId ?? '')] })}
        >
          Another line
        </button>
        {sheet.rows.length > 1 && (
          <button
            type="button"
            className="button quiet small"
            onClick={() => change({ rows: sheet.rows.slice(0, -1) })}
          >
            Take the last line away
          </button>
        )}
        <button
          type="button"
          className="link-button"
          onClick={() => {
            kept.set(blank(sheet.person))
            setErrors([])
            setAsked([])
          }}
        >
          Start afresh
        </button>
      </p>
      <SheetAdvice sheet={kept.value} bodies={bodies} zone={zone} />
      {(errors.length > 0 || head.rows) && (
        <ul className="problem" role="alert">
          {head.rows && <li>{head.rows}</li>}
          {errors.map(({ rowId, key, message }) => (
            <li key={`${rowId}${key}`}>
              Line {lineOf(rowId)}
              {key !== 'row' && `, ${key === 'time' ? 'time' : columnTitle(key, system).title}`}: {message}
            </li>
          ))}
        </ul>
      )}
      {stillUnusual.length > 0 && (
        <fieldset className="unusual" role="alert">
          <legend>Unusual, please look at the paper again</legend>
          {stillUnusual.map(({ rowId, key, words }) => {
            const own = sheet.rows.find(({ id }) => id === rowId)
            return (
              <CheckField
                key={`${rowId}${key}`}
                label={`Line ${lineOf(rowId)}, ${nameOf(own?.bodyId ?? '')}: the sheet says ${words}`}
                checked={own?.confirmed.includes(key) ?? false}
                onChange={({ target }) =>
                  change({
                    rows: sheet.rows.map((other) =>
                      other.id === rowId
                        ? {
                            ...other,
                            confirmed: [
                              ...other.confirmed.filter((known) => known !== key),
                              ...(target.checked ? [key] : []),
                            ],
                          }
                        : other,
                    ),
                  })
                }
              />
            )
          })}
        </fieldset>
      )}
      {failure !== null && <ProblemNote error={failure}> What you typed is kept.</ProblemNote>}
      {stored && (
        <output className="notice notice-good">
          {counted(stored.count, 'test')} stored. To{' '}
          {stored.bodyIds.map((bodyId, index) => (
            <span key={bodyId}>
              {index > 0 && ', '}
              <Link href={`/bodies/${bodyId}`}>{nameOf(bodyId)}</Link>
            </span>
          ))}
          .
        </output>
      )}
      <p className="buttons">
        <button type="submit" className="button" disabled={storing}>
          {storing ? 'Storing …' : 'Store the sheet'}
        </button>
      </p>
    </form>
  )
}

const toggledColumn = (columns: EntryKey[], key: EntryKey) =>
  ALL_COLUMNS.filter((other) => (other === key ? !columns.includes(key) : columns.includes(other)))
