import { AdviceNote } from '../../shared/Advice.tsx'
import type { Advice } from '../../shared/advice.ts'
import { ProblemNote } from '../../shared/Problem.tsx'
import { SeverityLabel } from '../../shared/Severity.tsx'

/** Beside the fields: what the numbers mean as they are typed. */
export function AdvicePanel({
  advice,
  error,
  children,
}: {
  advice: Advice | null
  error: unknown
  children?: React.ReactNode
}) {
  return (
    <section className="advice-panel" aria-labelledby="advice">
      <h2 id="advice">What these numbers mean</h2>
      <p className="not-stored">Worked out from what is typed; not yet stored.</p>
      {error != null && <ProblemNote error={error}> The test can be stored all the same.</ProblemNote>}
      {advice?.state === 'held' && <p>{advice.why}</p>}
      {advice?.state === 'nothing' && <p className="faint">Type a value, and what follows from it stands here.</p>}
      {advice?.state === 'given' && <AdviceNote advice={advice} />}
      {children}
    </section>
  )
}

/** In a line beside the button, so that nobody stores without having seen it. */
export function AdviceLine({ advice }: { advice: Advice | null }) {
  return (
    <p className="advice-line" aria-live="polite">
      {advice?.state === 'given' && (
        <>
          With this the body would stand: <SeverityLabel severity={advice.severity} />.{' '}
          <a href="#advice">What these numbers mean</a>
        </>
      )}
    </p>
  )
}
