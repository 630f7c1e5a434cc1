import type { Finding } from './finding.ts'
import { compareFindings } from './severity.ts'

type Identity = Pick<Finding, 'kind' | 'subject'>

const identity = ({ kind, subject }: Identity) => `${kind} ${subject}`

/**
 * What became of a body's findings: which are new, which were seen again, which are gone. Two findings are the same when
 * kind and subject are. `seen` pairs what was known with what is known now; a known one keeps its own identity.
 */
export function followFindings<Known extends Identity>(
  previous: readonly Known[],
  next: readonly Finding[],
): { opened: Finding[]; seen: { known: Known; finding: Finding }[]; closed: Known[] } {
  const known = new Map(previous.map((finding) => [identity(finding), finding]))
  const opened: Finding[] = []
  const seen: { known: Known; finding: Finding }[] = []
  for (const finding of [...next].sort(compareFindings)) {
    const before = known.get(identity(finding))
    if (before === undefined) opened.push(finding)
    else seen.push({ known: before, finding })
  }
  const now = new Set(next.map(identity))
  return { opened, seen, closed: previous.filter((finding) => !now.has(identity(finding))) }
}
