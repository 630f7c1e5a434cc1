export interface Span {
  min: number | null
  max: number | null
}

export interface Lane {
  /** SVG path data, one piece for each unbroken run; a lone value is a dot. */
  path: string
  /** The range as a band, in the drawing's units; null when there is none. */
  band: { y: number; height: number } | null
}

export interface TraceModel {
  width: number
  height: number
  ph: Lane
  orp: Lane
  /** The same in words. */
  words: string
}

export interface TraceRows {
  startAt: string
  stepMin: number
  ph: (number | null)[]
  orpMv: (number | null)[]
}

const GAP_BETWEEN_LANES = 4
// So that noise is not drawn as tall as an excursion.
const LEAST_SPAN = { ph: 0.6, orp: 120 }

/** Seven days of pH above seven days of ORP, each in its own scale with its range; where nothing was heard nothing is drawn. */
export function prepareTrace(
  trace: TraceRows,
  ranges: { ph: Span; orpMv: Span },
  size: { width: number; height: number },
): TraceModel | null {
  if (![...trace.ph, ...trace.orpMv].some((value) => value !== null)) return null
  const laneHeight = (size.height - GAP_BETWEEN_LANES) / 2
  const lane = (values: (number | null)[], range: Span, least: number, top: number) =>
    prepareLane(values, range, least, { top, height: laneHeight, width: size.width })
  return {
    ...size,
    ph: lane(trace.ph, ranges.ph, LEAST_SPAN.ph, 0),
    orp: lane(trace.orpMv, ranges.orpMv, LEAST_SPAN.orp, laneHeight + GAP_BETWEEN_LANES),
    words: traceWords(trace),
  }
}

function prepareLane(
  values: (number | null)[],
  range: Span,
  least: number,
  box: { top: number; height: number; width: number },
): Lane {
  const [low, high] = scaleOf(values, range, least)
  const x = (index: number) => (values.length < 2 ? 0 : (index / (values.length - 1)) * box.width)
  const y = (value: number) => box.top + box.height * (1 - (Math.min(high, Math.max(low, value)) - low) / (high - low))
  const bandTop = y(range.max ?? high)
  const bandFoot = y(range.min ?? low)
  return {
    path: runs(values)
      .map((run) => run.map(([index, value], n) => `${n ? 'L' : 'M'}${round(x(index))} ${round(y(value))}`).join(''))
      // a path of one point draws nothing; a line back to itself with round ends is a dot
      .map((path) => (path.includes('L') ? path : `${path}h0.01`))
      .join(''),
    band: range.min === null && range.max === null ? null : { y: round(bandTop), height: round(bandFoot - bandTop) },
  }
}

/** The unbroken runs of a series, as pairs of index and value. */
export function runs(values: (number | null)[]): [number, number][][] {
  const found: [number, number][][] = []
  let run: [number, number][] = []
  values.forEach((value, index) => {
    if (value !== null) run.push([index, value])
    else if (run.length) {
      found.push(run)
      run = []
    }
  })
  if (run.length) found.push(run)
  return found
}

function scaleOf(values: (number | null)[], range: Span, least: number): [number, number] {
  const known = [...values, range.min, range.max].filter((value) => value !== null)
  if (known.length === 0) return [0, 1]
  const low = Math.min(...known)
  const high = Math.max(...known)
  const pad = Math.max(0, (least - (high - low)) / 2) + (high - low) * 0.06
  return [low - pad, high + pad]
}

function traceWords({ ph, orpMv, stepMin }: TraceRows) {
  const extent = (values: (number | null)[], digits: number) => {
    const known = values.filter((value) => value !== null)
    return known.length
      ? `${Math.min(...known).toFixed(digits)} to ${Math.max(...known).toFixed(digits)}`
      : 'not reported'
  }
  const silentSteps = ph.filter((value, index) => value === null && orpMv[index] == null).length
  const silentHours = Math.round((silentSteps * stepMin) / 60)
  const silence = silentHours ? `; nothing heard for ${silentHours} h of it` : ''
  return `Last 7 days: pH ${extent(ph, 1)}, ORP ${extent(orpMv, 0)} mV${silence}`
}

const round = (number: number) => Math.round(number * 10) / 10
