import type { Finding, ScorePart, Standing } from './finding.ts'
import { severityRank } from './severity.ts'
import type { FindingFamily, FindingSeverity, Severity } from './vocabulary.ts'

/** The best and the worst score that a standing can have: bands that do not touch, so that score and severity agree. */
export const SCORE_BANDS = {
  close: { best: 40, worst: 0 },
  act: { best: 70, worst: 41 },
  watch: { best: 90, worst: 71 },
  fine: { best: 100, worst: 100 },
} as const

/** What each finding after the first takes of the room left in the band. */
export const FURTHER_SHARE: Record<FindingSeverity, number> = {
  close: 1 / 2,
  act: 1 / 4,
  unheard: 1 / 4,
  watch: 1 / 10,
}

/**
 * The standing of a body: the severity of its worst finding, and a score from 0 to 100 in whole points. The worst finding
 * takes the body into its band; each further one, worst first, takes its share of the room left there. So score = 100 −
 * Σ taken, a further finding never raises it, and no body scores better than one of a better severity.
 * @param findings in any order; sorting is by severity only, and equals take the same whatever their order
 */
export function standingOf(findings: readonly Finding[]): Standing {
  const sorted = [...findings].sort((a, b) => severityRank(a.severity) - severityRank(b.severity))
  const severity: Severity = sorted[0]?.severity ?? 'fine'
  // with nothing recent to go by there is nothing to score
  if (severity === 'unheard') return { severity, score: null, parts: [] }
  const parts = new Map<FindingFamily, ScorePart>()
  let left = 100
  sorted.forEach((finding, index) => {
    const { best, worst } = SCORE_BANDS[severity]
    const taken = index === 0 ? 100 - best : Math.round((left - worst) * FURTHER_SHARE[finding.severity])
    left -= taken
    const part = parts.get(finding.family) ?? { family: finding.family, taken: 0, because: [] }
    part.taken += taken
    if (!part.because.includes(finding.kind)) part.because.push(finding.kind)
    parts.set(finding.family, part)
  })
  return { severity, score: left, parts: [...parts.values()] }
}
