import { SEVERITIES, SEVERITY_WORDS, type Severity } from '@sightglass/chemistry'
import { whole } from '../../shared/numbers.ts'
import { SeverityMark } from '../../shared/Severity.tsx'
import { toggled } from './query.ts'

export function SeverityCounts({
  counts,
  chosen,
  onChange,
}: {
  counts: Partial<Record<Severity, number>>
  chosen: Severity[]
  onChange: (chosen: Severity[]) => void
}) {
  return (
    <fieldset className="counts">
      <legend className="unseen">Show only bodies of this standing</legend>
      {SEVERITIES.map((severity) => (
        <button
          key={severity}
          type="button"
          className={`count count-${severity}`}
          aria-pressed={chosen.includes(severity)}
          onClick={() => onChange(toggled(chosen, severity))}
        >
          <span className="count-number">{whole(counts[severity] ?? 0)}</span>
          <span className="count-word">
            <SeverityMark severity={severity} /> {SEVERITY_WORDS[severity]}
          </span>
        </button>
      ))}
    </fieldset>
  )
}
