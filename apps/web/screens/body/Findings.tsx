import type { Severity } from '@sightglass/chemistry'
import { SeverityLabel } from '../../shared/Severity.tsx'
import type { FamilyGroup, FindingModel } from './prepare.ts'

export function Findings({
  groups,
  cautions,
  severity,
  cautionsInPlan,
}: {
  groups: FamilyGroup[]
  cautions: string[]
  severity: Severity
  /** The dose plan below carries cautions that hold here too. */
  cautionsInPlan: boolean
}) {
  return (
    <section aria-labelledby="wrong" className="findings">
      <h2 id="wrong">What is wrong</h2>
      <Cautions lines={cautions}>
        {cautionsInPlan && groups.length > 0 && (
          <li>
            Before anything is added, read the cautions under <a href="#do-now">What to do now</a>.
          </li>
        )}
      </Cautions>
      {groups.length === 0 && (
        <p>
          {severity === 'unheard'
            ? 'Nothing recent enough to judge it by, which is not the same as fine. Enter a test or load an export.'
            : severity === 'outOfUse'
              ? 'It is out of use: its water is not judged.'
              : 'Nothing was found by what is known now.'}
        </p>
      )}
      {groups.map((group) => (
        <section key={group.family} aria-label={group.title}>
          <h3 className="family">{group.title}</h3>
          {group.findings.map((finding) => (
            <Finding key={finding.id} finding={finding} />
          ))}
        </section>
      ))}
    </section>
  )
}

function Cautions({ lines, children }: { lines: string[]; children?: React.ReactNode }) {
  if (lines.length === 0 && !children) return null
  return (
    <ul className="cautions" aria-label="Cautions">
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
      {children}
    </ul>
  )
}

function Finding({ finding }: { finding: FindingModel }) {
  return (
    <article className={`finding finding-${finding.severity}`}>
      <header>
        <SeverityLabel severity={finding.severity} />
        <h4>{finding.title}</h4>
      </header>
      <div className="finding-do">
        <p className="finding-sentence">{finding.sentence}</p>
        {finding.advice.length > 0 && (
          <ul className="advice" aria-label="What to do">
            {finding.advice.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        )}
        {finding.bring && <p>Bring: {finding.bring}.</p>}
        {finding.step !== null && (
          <p>
            How much: <a href={`#step-${finding.step}`}>step {finding.step} of what to do now</a>.
          </p>
        )}
        <Cautions lines={finding.cautions} />
      </div>
      <div className="finding-why">
        {finding.evidence.length > 0 && (
          <table className="evidence">
            <caption className="unseen">The numbers it rests on</caption>
            <tbody>
              {finding.evidence.map(({ label, value, source, exact }) => (
                <tr key={label + source}>
                  <th scope="row">{label}</th>
                  <td className="number">{value}</td>
                  <td className="faint" title={exact || undefined} suppressHydrationWarning>
                    {source}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
        {finding.limit && <p>{finding.limit}</p>}
        <p className="faint" suppressHydrationWarning>
          {finding.since}
        </p>
      </div>
    </article>
  )
}
