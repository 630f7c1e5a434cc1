import type { Basis } from '@sightglass/chemistry'
import { WideTable } from '../../shared/WideTable.tsx'
import type { ClosingModel, StepModel, TestRow, TimerModel } from './prepare.ts'

export function Timer({ timer }: { timer: TimerModel }) {
  return (
    <section aria-labelledby="contact" className={`incident-timer incident-${timer.state}`}>
      <h2 id="contact">Contact time</h2>
      <p className="incident-share">
        {timer.pct !== null && <span className="incident-pct">{timer.pct} %</span>} <span>{timer.words}</span>
      </p>
      {timer.pct !== null && (
        <progress value={timer.pct} max={100} aria-label="Contact time proved by tests">
          {timer.pct} %
        </progress>
      )}
      {timer.ct && <p className="incident-ct">{timer.ct}</p>}
      {timer.lines.map((line) => (
        <p key={line} suppressHydrationWarning>
          {line}
        </p>
      ))}
      {timer.toHold && <p className="faint">{timer.toHold}</p>}
    </section>
  )
}

const STEP_MARKS = { done: '✓', now: '▸', later: '·' }
const STEP_WORDS = { done: 'Done', now: 'Now', later: 'Later' }

export const Steps = ({ steps }: { steps: StepModel[] }) => (
  <ol className="incident-steps">
    {steps.map(({ key, state, text, notes, whose }) => (
      <li key={key} className={`step-${state}`} aria-current={state === 'now' ? 'step' : undefined}>
        <span className="step-mark" aria-hidden="true">
          {STEP_MARKS[state]}
        </span>
        <div>
          <span className="step-word">{STEP_WORDS[state]}</span> <span className="step-text">{text}</span>
          {state !== 'done' && notes.length > 0 && (
            <ul className="advice">
              {notes.map((note) => (
                <li key={note}>{note}</li>
              ))}
            </ul>
          )}
          {state === 'now' && <p className="step-whose">{whose}</p>}
        </div>
      </li>
    ))}
  </ol>
)

export function Tests({ rows }: { rows: TestRow[] }) {
  return (
    <section aria-labelledby="tests">
      <h2 id="tests">Tests since then</h2>
      {rows.length === 0 ? (
        <p>None with free chlorine yet. Each test is to show free chlorine, pH and water temperature.</p>
      ) : (
        <WideTable label="Tests since the incident">
          <table className="ledger incident-tests">
            <thead>
              <tr>
                <th scope="col">Time</th>
                {rows[0]?.cells.map(({ label }) => (
                  <th scope="col" key={label} className="number">
                    {label}
                  </th>
                ))}
                <th scope="col" className="number">
                  CT so far
                </th>
              </tr>
            </thead>
            {rows.map((row) => (
              <tbody key={row.at} className={row.counts ? undefined : 'uncounted'}>
                <tr>
                  <th scope="row" suppressHydrationWarning>
                    <span aria-hidden="true">{row.counts ? '✓' : '✕'}</span> {row.at}
                    <span className="unseen">{row.counts ? ', counts' : ', does not count'}</span>
                  </th>
                  {row.cells.map(({ label, value }) => (
                    <td key={label} className="number unbroken">
                      {value || <span className="faint">not tested</span>}
                    </td>
                  ))}
                  <td className="number">{row.ct}</td>
                </tr>
                {row.why && (
                  <tr>
                    <td colSpan={row.cells.length + 2} className="incident-why">
                      Does not count: {row.why}
                    </td>
                  </tr>
                )}
              </tbody>
            ))}
          </table>
        </WideTable>
      )}
    </section>
  )
}

export function Sources({ basis }: { basis: readonly Basis[] }) {
  if (basis.length === 0) return null
  return (
    <section aria-labelledby="whose">
      <h2 id="whose">Whose level and time it is</h2>
      <ul className="plain-list incident-sources">
        {basis.map(({ citation, says, doubt }) => (
          <li key={citation}>
            <strong>{citation}</strong> {says}
            {doubt && <span className="incident-doubt"> {doubt}</span>}
          </li>
        ))}
      </ul>
      <p className="faint">
        What could not be read is not filled in here. The health department and the local code come first.
      </p>
    </section>
  )
}

export const Closed = ({ closing }: { closing: ClosingModel }) => (
  <section aria-labelledby="closed" className="incident-closed">
    <h2 id="closed">Closed</h2>
    <p suppressHydrationWarning>{closing.words}</p>
    {closing.exception && <p className="notice">{closing.exception}</p>}
    <ul className="advice" aria-label="What was checked">
      {closing.checks.map((check) => (
        <li key={check}>{check}</li>
      ))}
    </ul>
    {closing.note && <p>{closing.note}</p>}
    <p className="faint">Closed too early? Report it anew with the same time: the tests made since count for it.</p>
  </section>
)
