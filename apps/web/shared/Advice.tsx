import type { Advice } from './advice.ts'
import { SeverityLabel } from './Severity.tsx'

/** What the numbers that are being typed mean, and the first doses. */
export function AdviceNote({ advice }: { advice: Extract<Advice, { state: 'given' }> }) {
  const { findings, first, cleared, steps, more, missing, unusual, cautions } = advice
  return (
    <div className="advice-note">
      {unusual.length > 0 && (
        <p className="advice-unusual">Unusual: {unusual.join(', ')}. Look again before anything is done by it.</p>
      )}
      {findings.length > 0 ? (
        <ul className="advice-findings">
          {findings.map(({ severity, title, sentence }) => (
            <li key={title}>
              <SeverityLabel severity={severity} /> {sentence}
            </li>
          ))}
        </ul>
      ) : (
        <p>Nothing is wrong with these values by themselves.</p>
      )}
      {first.length > 0 && (
        <ul className="advice" aria-label="First of all">
          {first.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      {cleared.length > 0 && <p>No longer: {cleared.join(', ')}.</p>}
      {steps.length > 0 && (
        <>
          <h3>First doses</h3>
          <ol className="advice-steps">
            {steps.map(({ what, amount, weight, parts, purpose }) => (
              <li key={what + purpose}>
                <strong>{[what, amount].filter(Boolean).join(': ')}</strong> {weight && `(${weight}) `}
                {parts && `${parts}. `}
                <span className="advice-purpose">{purpose}</span>
              </li>
            ))}
          </ol>
          <p className="faint">
            {more} The whole plan, with waits and retests, stands on the page of the body once the test is stored.
          </p>
        </>
      )}
      {missing.length > 0 && (
        <>
          <h3>For a dose, first</h3>
          <ul className="advice">
            {missing.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </>
      )}
      {steps.length > 0 && (
        <ul className="cautions" aria-label="Cautions">
          {cautions.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
    </div>
  )
}
