import {
  type Assessment,
  bodyAsTested,
  type CodeProfile,
  compareFindings,
  limitValuesFor,
  type Measured,
  outOfUseNow,
  type Snapshot,
  waterNow,
} from '@sightglass/chemistry'
import type { TriageView } from '@sightglass/contract'
import { TRACE_STEP_MIN, TRACE_STEPS, type TraceRow } from './queries.ts'

const STEP_MS = TRACE_STEP_MIN * 60_000
const WORST = 3

/** The steps of the trace lie on whole steps of UTC, so that a refresh does not shift them; the last one is running. */
export const traceStart = (now: Date) => new Date(Math.floor(+now / STEP_MS) * STEP_MS - (TRACE_STEPS - 1) * STEP_MS)

/** What a row of the morning list shows of a body, made once when it is assessed. */
export function viewOf(
  snapshot: Snapshot,
  profile: CodeProfile,
  { findings }: Assessment,
  trace: TraceRow | undefined,
  now: Date,
): TriageView {
  const { tests, controller } = snapshot
  const body = bodyAsTested(snapshot)
  const sanitizer = body.sanitizerSystem === 'bromine' ? 'bromineMgL' : 'freeChlorineMgL'
  const latest = controller?.latest
  const period = outOfUseNow(snapshot, +now)
  const water = waterNow(snapshot)
  return {
    sentences: [...findings]
      .sort(compareFindings)
      .slice(0, WORST)
      .map(({ sentence }) => sentence),
    findings: findings.length,
    ...(period && {
      outOfUse: {
        from: isoOf(period.fromMs),
        to: period.toMs === null ? null : isoOf(period.toMs),
        reason: period.reason,
      },
    }),
    test: { ph: valueAt(tests.ph), sanitizer: valueAt(tests[sanitizer]) },
    controller: latest ? { at: isoOf(latest.atMs), ph: latest.ph, orpMv: latest.orpMv } : null,
    ranges: {
      ph: limitValuesFor(profile, body, 'ph', water),
      sanitizer: limitValuesFor(profile, body, sanitizer, water),
      orpMv: limitValuesFor(profile, body, 'orpMv', water),
    },
    trace: trace ? traceOf(trace, traceStart(now)) : null,
  }
}

const isoOf = (ms: number) => new Date(ms).toISOString()
const valueAt = (measured: Measured | undefined) =>
  measured ? { value: measured.value, at: isoOf(measured.atMs) } : null

/** Steps in which nothing was heard stay null: a line breaks there. */
function traceOf({ steps }: TraceRow, startAt: Date): TriageView['trace'] {
  const ph = Array<number | null>(TRACE_STEPS).fill(null)
  const orpMv = Array<number | null>(TRACE_STEPS).fill(null)
  for (const [step, phMean, orpMean] of steps) {
    ph[step] = phMean
    orpMv[step] = orpMean
  }
  return { startAt: startAt.toISOString(), stepMin: TRACE_STEP_MIN, ph, orpMv }
}
