'use client'
import type { Detection, ImportDetail, ImportDetect, Layout, Plant } from '@sightglass/contract'
import { useState } from 'react'
import { SelectField, TextField } from '../../shared/Field.tsx'
import { problemFrom } from '../../shared/Problem.tsx'
import { optionsOf } from '../../shared/words.ts'
import { zones } from '../../shared/zones.ts'
import { FirstRows } from './FirstRows.tsx'
import {
  type DateOrder,
  DELIMITER_WORDS,
  type Delimiter,
  draftFrom,
  ENCODING_WORDS,
  type LayoutDraft,
  layoutFrom,
  NO_COLUMN,
  ORDER_WORDS,
  rowsToMatch,
  withKeyColumn,
} from './layout.ts'
import { Matching } from './Matching.tsx'

interface Given {
  detail: ImportDetail
  detection: Detection
  plant: Plant
  onDetect: (said: ImportDetect) => void
  onCheck: (layout: Layout) => void
  problem: unknown
}

export function LayoutEditor({ detail, detection, plant, onDetect, onCheck, problem }: Given) {
  const [draft, setDraft] = useState(() => draftFrom(detection, detail.layout, plant.facility.timeZone))
  const [open, setOpen] = useState<string[]>([])
  const bodies = plant.bodies.filter(({ retiredAt }) => retiredAt === null)
  const change = (part: Partial<LayoutDraft>) => setDraft((now) => ({ ...now, ...part }))
  const fields = problem ? (problemFrom(problem).fields ?? []) : []

  function check(event: React.FormEvent) {
    event.preventDefault()
    const made = layoutFrom(detection, draft)
    setOpen('open' in made ? made.open : [])
    if ('layout' in made) onCheck(made.layout)
  }

  return (
    <form className="layout-form" onSubmit={check} noValidate>
      <section aria-labelledby="written">
        <h2 id="written">How the file is written</h2>
        {detection.knownLayout && (
          <p className="notice notice-good">
            Recognised as “{detection.knownLayout.name}”. Look it over, then check it.
          </p>
        )}
        {detection.questions.length > 0 && (
          <ul className="notice questions" aria-label="To be settled">
            {detection.questions.map((question) => (
              <li key={question}>{question}</li>
            ))}
          </ul>
        )}
        <p className="detected">
          Detected as below{detection.byteOrderMark && ', with a byte-order mark'}; lines end with{' '}
          <strong>{detection.lineEnding}</strong>. What was taken wrong can be changed: the columns are then detected
          anew.
        </p>
        <Written detection={detection} onDetect={onDetect} />
        <FirstRows detection={detection} draft={draft} />
        <Clock detection={detection} draft={draft} onChange={change} />
      </section>
      <section aria-labelledby="columns">
        <h2 id="columns">Where each column goes</h2>
        {bodies.length === 0 ? (
          <p className="problem">
            {plant.facility.name} has no body of water yet.{' '}
            <a href={`/facilities/${plant.facility.id}`}>Add its bodies of water</a>, then come back: this file is kept.
          </p>
        ) : (
          <>
            <SelectField
              label="Which body or channel a row speaks of"
              hint="For files with one row per channel or body: the column that names it"
              empty="every row speaks of all columns"
              options={detection.columns.map(({ index, name }) => ({
                value: String(index),
                label: `column “${name || index + 1}”`,
              }))}
              value={draft.keyColumn === null ? '' : String(draft.keyColumn)}
              onChange={({ target }) =>
                setDraft(withKeyColumn(detection, draft, target.value === '' ? null : Number(target.value), bodies))
              }
            />
            <Matching groups={rowsToMatch(detection, draft)} bodies={bodies} draft={draft} onChange={setDraft} />
          </>
        )}
      </section>
      {(open.length > 0 || fields.length > 0) && (
        <ul className="problem" role="alert">
          {open.map((line) => (
            <li key={line}>{line}</li>
          ))}
          {fields.map(({ path, message }) => (
            <li key={path}>
              {path.replace(/^body\.layout\./, '')}: {message}
            </li>
          ))}
        </ul>
      )}
      <p className="buttons">
        <button type="submit" className="button" disabled={bodies.length === 0}>
          {detail.state === 'checked' ? 'Check again' : 'Check'}
        </button>
        <span className="faint">Reads the whole file and says what would come in. Stores nothing.</span>
      </p>
    </form>
  )
}

/** How the file is cut into fields; a change is detected anew by the server. */
function Written({ detection, onDetect }: Pick<Given, 'detection' | 'onDetect'>) {
  const { encoding, delimiter, headerLine } = detection
  const [line, setLine] = useState(String(headerLine ?? ''))
  const say = (part: ImportDetect) => onDetect({ encoding, delimiter, headerLine, ...part })
  const wanted = line.trim() === '' ? null : Number(line)
  const possible = wanted === null || (Number.isInteger(wanted) && wanted >= 1)
  return (
    <div className="layout-fields">
      <SelectField
        label="Fields are parted by"
        options={optionsOf(DELIMITER_WORDS)}
        value={delimiter}
        onChange={({ target }) => say({ delimiter: target.value as Delimiter })}
      />
      <SelectField
        label="Text is written in"
        options={optionsOf(ENCODING_WORDS)}
        value={encoding}
        onChange={({ target }) => say({ encoding: target.value as LayoutDraft['encoding'] })}
      />
      <TextField
        label="Line of the column names"
        hint="Empty: the file has none"
        inputMode="numeric"
        error={possible ? undefined : 'A line number, from 1.'}
        value={line}
        onChange={({ target }) => setLine(target.value)}
        onBlur={() => possible && wanted !== headerLine && say({ headerLine: wanted })}
      />
    </div>
  )
}

function Clock({
  detection,
  draft,
  onChange,
}: {
  detection: Detection
  draft: LayoutDraft
  onChange: (part: Partial<LayoutDraft>) => void
}) {
  const columns = detection.columns.map(({ index, name }) => ({
    value: String(index),
    label: name || `column ${index + 1}`,
  }))
  return (
    <div className="layout-fields">
      <SelectField
        label="Date or date and time"
        empty="choose"
        options={columns}
        value={draft.dateColumn === NO_COLUMN ? '' : String(draft.dateColumn)}
        onChange={({ target }) => onChange({ dateColumn: target.value === '' ? NO_COLUMN : Number(target.value) })}
      />
      <SelectField
        label="Time of day"
        empty="stands with the date"
        options={columns.filter(({ value }) => value !== String(draft.dateColumn))}
        value={draft.timeColumn === null ? '' : String(draft.timeColumn)}
        onChange={({ target }) => onChange({ timeColumn: target.value === '' ? null : Number(target.value) })}
      />
      <SelectField
        label="Order of a date"
        empty="choose"
        error={
          draft.order === '' && detection.dateOrderAmbiguous ? 'The rows fit more than one: say which.' : undefined
        }
        options={optionsOf(ORDER_WORDS)}
        value={draft.order}
        onChange={({ target }) => onChange({ order: target.value as DateOrder | '' })}
      />
      <SelectField
        label="Whose clock"
        options={zones(draft.zone)}
        value={draft.zone}
        onChange={({ target }) => onChange({ zone: target.value })}
      />
      <SelectField
        label="Decimal sign"
        options={[
          { value: '.', label: 'point: 7.4' },
          { value: ',', label: 'comma: 7,4' },
        ]}
        value={draft.decimal}
        onChange={({ target }) => onChange({ decimal: target.value as LayoutDraft['decimal'] })}
      />
    </div>
  )
}
