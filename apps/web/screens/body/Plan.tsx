'use client'
import { CAUTIONS, type Chemical, type ChemicalKey } from '@sightglass/chemistry'
import Link from 'next/link'
import { useState } from 'react'
import { Step } from '../../shared/DoseStep.tsx'
import type { Ledger } from '../../shared/doses.ts'
import { BareValue } from '../../shared/Value.tsx'
import { WideTable } from '../../shared/WideTable.tsx'
import { type PlanModel, prepareOnSite } from './plan.ts'

interface Given {
  model: PlanModel
  /** The same as text, to be sent to somebody. */
  text: string
  testHref: string
  onSite: { chemicals: readonly Chemical[]; chosen: boolean; toggle: (key: ChemicalKey) => void; byDrums: () => void }
}

/** From the water as it is to the ranges wanted: what to add, in which order, and what to expect of it. */
export function Plan({ model, text, testHref, onSite }: Given) {
  const { lead, missing, steps, apart, cautions, remains, ledger, assumed, rests } = model
  return (
    <section aria-labelledby="do-now" className="plan">
      <div className="section-head">
        <h2 id="do-now">What to do now</h2>
        <CopyAndPrint text={text} />
      </div>
      <p className="plan-lead">{lead}</p>
      {missing.length > 0 && (
        <div className="plan-missing">
          <ul className="advice" aria-label="What is missing">
            {missing.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
          <Link className="button small" href={testHref}>
            Enter a test
          </Link>
        </div>
      )}
      <OnSite {...onSite} />
      <div className="plan-before">
        {steps.length > 0 && (
          <ul className="cautions" aria-label="Cautions">
            {cautions.map((key) => (
              <li key={key}>{CAUTIONS[key]}</li>
            ))}
            {apart.map((line) => (
              <li key={line}>
                <strong>{line}</strong>
              </li>
            ))}
          </ul>
        )}
        {assumed.length > 0 && <Lines title="What is assumed" lines={assumed} />}
      </div>
      {steps.length > 0 && (
        <ol className="steps">
          {steps.map((step, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: the place is what makes a step
            <Step key={index} step={step} number={index + 1} />
          ))}
        </ol>
      )}
      {remains.length > 0 && <Lines title="What stays outside its range, and why" lines={remains} />}
      {ledger && steps.length > 0 && <WaterLedger ledger={ledger} />}
      {rests && (
        <p className="faint" suppressHydrationWarning>
          Rests on {rests}.
        </p>
      )}
    </section>
  )
}

function WaterLedger({ ledger: { columns, rows } }: { ledger: Ledger }) {
  return (
    <div className="plan-ledger">
      <h3>The water, step by step</h3>
      <WideTable label="The water, step by step">
        <table className="ledger unbroken">
          <thead>
            <tr>
              <th scope="col">Predicted, not tested</th>
              {columns.map(({ thing, title, unit }) => (
                <th scope="col" key={thing} className="number">
                  {title} {unit && <span className="unit">{unit}</span>}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ title, cells }) => (
              <tr key={title}>
                <th scope="row">{title}</th>
                {cells.map(({ value, moved }, index) => (
                  <td key={columns[index]?.thing} className={`number${moved ? ' moved' : ''}`}>
                    {value ? <BareValue model={value} /> : <span className="faint">not known</span>}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
          <tfoot>
            <tr>
              <th scope="row">Range</th>
              {columns.map(({ thing, range }) => (
                <td key={thing} className="number faint">
                  {range}
                </td>
              ))}
            </tr>
          </tfoot>
        </table>
      </WideTable>
    </div>
  )
}

const Lines = ({ title, lines }: { title: string; lines: string[] }) => (
  <div>
    <h3>{title}</h3>
    <ul className="advice">
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  </div>
)

function OnSite({ chemicals, chosen, toggle, byDrums }: Given['onSite']) {
  const { line, groups } = prepareOnSite(chemicals)
  return (
    <details className="on-site">
      <summary>
        <span className="on-site-head">On site</span> {line || 'nothing'}
      </summary>
      <p className="hint">
        {chosen
          ? 'Your own choice, kept in this browser.'
          : 'What the drums hold, and what is usual beside it. Change what is not so.'}{' '}
        {chosen && (
          <button type="button" className="link-button" onClick={byDrums}>
            As the drums say
          </button>
        )}
      </p>
      <div className="on-site-groups">
        {groups.map(({ title, chemicals: listed }) => (
          <fieldset key={title} className="choices">
            <legend>{title}</legend>
            {listed.map(({ key, label, checked }) => (
              <label key={key}>
                <input type="checkbox" checked={checked} onChange={() => toggle(key)} />
                <span>{label}</span>
              </label>
            ))}
          </fieldset>
        ))}
      </div>
    </details>
  )
}

function CopyAndPrint({ text }: { text: string }) {
  const [copied, setCopied] = useState<'' | 'copied' | 'shown'>('')
  async function copy() {
    // only pages that come over https or from this machine may write to the clipboard
    const done = await navigator.clipboard?.writeText(text).then(
      () => true,
      () => false,
    )
    setCopied(done ? 'copied' : 'shown')
  }
  return (
    <div className="plan-take">
      <span className="item-buttons">
        <button type="button" className="link-button" onClick={copy}>
          Copy as text
        </button>
        <button type="button" className="link-button" onClick={printPlan}>
          Print
        </button>
      </span>
      <output className="faint">{copied === 'copied' && 'Copied.'}</output>
      {copied === 'shown' && (
        <textarea
          readOnly
          rows={12}
          aria-label="What to do now, as text"
          value={text}
          onFocus={({ target }) => target.select()}
        />
      )}
    </div>
  )
}

/** Prints the body's head and its plan; the rest of the page stays out, see `data-print` in body.css. */
function printPlan() {
  document.body.dataset.print = 'plan'
  window.print()
  delete document.body.dataset.print
}
