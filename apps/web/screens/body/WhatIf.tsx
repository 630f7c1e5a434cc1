'use client'
import type { Chemical, Water } from '@sightglass/chemistry'
import { useId, useMemo, useState } from 'react'
import { DoseFields } from '../../shared/DoseFields.tsx'
import type { Known, KnownWater } from '../../shared/known.ts'
import type { ValueModel } from '../../shared/measure.ts'
import { QuantityInput } from '../../shared/QuantityInput.tsx'
import { SeverityLabel } from '../../shared/Severity.tsx'
import { useUnits } from '../../shared/Units.tsx'
import { BareValue } from '../../shared/Value.tsx'
import {
  type Control,
  isTrying,
  NOTHING_TRIED,
  prepareControls,
  prepareWhatIf,
  type Tried,
  type WhatIfModel,
} from './whatIf.ts'

interface Given {
  known: Known
  base: KnownWater
  /** What is on site comes first among the chemicals. */
  onSite: readonly Chemical[]
  now: number
}

/** Folded until it is wanted: the page is read daily, this is tried now and then. */
export function WhatIf({ known, base, onSite, now }: Omit<Given, 'base'> & { base: KnownWater | null }) {
  const [open, setOpen] = useState(false)
  return (
    <section aria-labelledby="what-if" className="what-if">
      <details open={open} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
        <summary>
          <h2 id="what-if">What if</h2> <span className="faint">move a value, add a chemical, see what follows</span>
        </summary>
        {open && base && <Trial known={known} base={base} onSite={onSite} now={now} />}
        {open && !base && (
          <p>It begins with the present water: what is missing under What to do now is missing here too.</p>
        )}
      </details>
    </section>
  )
}

/** Move any value or add any chemical and see what becomes of the water. Nothing of it is stored. */
function Trial({ known, base, onSite, now }: Given) {
  const system = useUnits()
  const [tried, setTried] = useState<Tried>(NOTHING_TRIED)
  const controls = prepareControls(known, base, tried, system)
  const { volumeL } = known.snapshot.body
  const model = useMemo(
    () => prepareWhatIf(known, base, tried, { system, nowMs: now, volumeL }),
    [known, base, tried, system, now, volumeL],
  )
  const move = (thing: keyof Water, stored: number | null) => {
    const { [thing]: _, ...others } = tried.moved
    setTried({ ...tried, moved: stored === null ? others : { ...others, [thing]: stored } })
  }
  return (
    <div className="trial">
      <div className="section-head">
        <p className="not-stored">A calculation, not a test: nothing of it is stored, and no bather may rest on it.</p>
        <button
          type="button"
          className="button quiet small"
          disabled={!isTrying(tried)}
          onClick={() => setTried(NOTHING_TRIED)}
        >
          Back to the present water
        </button>
      </div>
      <div className="what-if-columns">
        <div className="what-if-tried">
          <fieldset className="moves">
            <legend>Values</legend>
            {controls.map((control) => (
              <Move key={control.thing} control={control} onMove={(stored) => move(control.thing, stored)} />
            ))}
          </fieldset>
          <DoseFields
            legend="Chemicals added"
            doses={tried.doses}
            onSite={onSite.map(({ key }) => key)}
            onChange={(doses) => setTried({ ...tried, doses })}
          />
        </div>
        <Outcome model={model} />
      </div>
      {isTrying(tried) && <InALine model={model} />}
    </div>
  )
}

function Move({ control, onMove }: { control: Control; onMove: (stored: number | null) => void }) {
  const id = useId()
  const { label, unit, slider, stored, trouble } = control
  return (
    <div className={`move${control.moved ? ' move-moved' : ''}`}>
      <label htmlFor={id}>
        {label} {unit.label && <span className="unit">{unit.label}</span>}
      </label>
      <input
        type="range"
        aria-label={`${label}, slider`}
        aria-valuetext={`${Number(slider.value.toFixed(2))} ${unit.label}`.trim()}
        min={slider.min}
        max={slider.max}
        step={slider.step}
        value={slider.value}
        onChange={({ target }) => onMove(unit.toStored(Number(target.value)))}
      />
      <QuantityInput
        id={id}
        className="number-cell"
        stored={stored}
        unit={unit}
        onStored={onMove}
        aria-invalid={trouble ? true : undefined}
        aria-describedby={`${id}-now`}
      />
      <span className="move-now" id={`${id}-now`}>
        now {control.now}
      </span>
      {trouble && (
        <span className="field-error" role="alert">
          {trouble}
        </span>
      )}
    </div>
  )
}

function Outcome({ model: { rows, standing, findings, trouble } }: { model: WhatIfModel }) {
  return (
    <div className="what-if-outcome">
      <table className="ledger">
        <caption className="unseen">The water now and as tried</caption>
        <thead>
          <tr>
            <th scope="col">Water</th>
            <th scope="col" className="number">
              Now
            </th>
            <th scope="col" className="number">
              Then
            </th>
            <th scope="col">Range</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ label, now, tried, moved }) => (
            <tr key={label} className={moved ? 'moved' : undefined}>
              <th scope="row">
                {label} {(tried ?? now)?.unit && <span className="unit">{(tried ?? now)?.unit}</span>}
              </th>
              <td className="number">
                <Cell value={now} />
              </td>
              <td className={`number${moved ? ' moved' : ''}`}>{(moved || tried) && <Cell value={tried} />}</td>
              <td className="faint">{(tried ?? now)?.range}</td>
            </tr>
          ))}
        </tbody>
        <tbody className="ledger-standing">
          <tr>
            <th scope="row">Standing</th>
            <td colSpan={3} aria-live="polite">
              <SeverityLabel severity={standing.now.severity} /> {standing.now.score}
              {standing.tried && (
                <>
                  {' '}
                  <span aria-hidden="true">→</span> <span className="unseen">then</span>{' '}
                  <SeverityLabel severity={standing.tried.severity} /> {standing.tried.score}
                </>
              )}
            </td>
          </tr>
        </tbody>
      </table>
      {trouble && (
        <p className="problem" role="alert">
          {trouble}
        </p>
      )}
      {standing.tried && (
        <div>
          <h3>What a test of now would find in such water</h3>
          {findings.length === 0 && <p>Nothing.</p>}
          <ul className="plain-list">
            {findings.map(({ severity, title, sentence }) => (
              <li key={title + sentence}>
                <SeverityLabel severity={severity} /> <strong>{title}</strong>. {sentence}
              </li>
            ))}
          </ul>
        </div>
      )}
    </div>
  )
}

/** On a phone the outcome is out of sight while a value is moved: the gist of it stays at the edge. */
function InALine({ model: { gist, standing, trouble } }: { model: WhatIfModel }) {
  return (
    <p className="what-if-line" aria-hidden="true">
      {trouble || gist} {standing.tried && <SeverityLabel severity={standing.tried.severity} />}
    </p>
  )
}

const Cell = ({ value }: { value: ValueModel | null }) =>
  value ? <BareValue model={value} /> : <span className="faint">not known</span>
