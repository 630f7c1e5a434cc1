import type { StepModel } from './doses.ts'

/** One step of a dose plan: what and how much, how, then wait and test. */
export function Step({ step, number }: { step: StepModel; number: number }) {
  const { what, amount, weight, parts, purpose, wait, retest, notes, working } = step
  return (
    <li className="step" id={`step-${number}`}>
      <h3 className="step-what">
        <span className="step-number">{number}</span> {what}
      </h3>
      <p className="step-amount">
        {amount && <strong>{amount}</strong>} {weight && <span className="faint">({weight})</span>} {parts}
      </p>
      <div className="step-how">
        <p>{purpose}</p>
        <ul className="advice">
          {notes.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      </div>
      <div className="step-then">
        {wait && <p>{wait}.</p>}
        {retest && (
          <p>
            Then test, and expect <strong>{retest}</strong>.
          </p>
        )}
        {working.length > 0 && (
          <details className="working">
            <summary>
              How the amount was worked out<span className="unseen"> in step {number}</span>
            </summary>
            <ul>
              {working.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
          </details>
        )}
      </div>
    </li>
  )
}
