import type { Finding } from './finding.ts'
import { FINDING_FAMILIES, SEVERITIES, type Severity } from './vocabulary.ts'

const RANKS = Object.fromEntries(SEVERITIES.map((severity, rank) => [severity, rank])) as Record<Severity, number>

/** 0 for the severity that needs a person first (`close`), growing to `fine`. */
export const severityRank = (severity: Severity): number => RANKS[severity]

// hazards first among equals: they hurt at once
const FAMILY_ORDER = ['hazard', ...FINDING_FAMILIES.filter((family) => family !== 'hazard')]

/** Worst first; among equals hazards first, then by family, kind and subject, so that the order never depends on chance. */
export function compareFindings(a: Finding, b: Finding): number {
  return (
    severityRank(a.severity) - severityRank(b.severity) ||
    FAMILY_ORDER.indexOf(a.family) - FAMILY_ORDER.indexOf(b.family) ||
    compareText(a.kind, b.kind) ||
    compareText(a.subject, b.subject)
  )
}

const compareText = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)
