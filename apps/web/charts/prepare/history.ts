import { dayName, exactTime, midnights, weekday } from '../../shared/time.ts'
import type { Span, TraceRows } from './trace.ts'

export interface HistoryModel {
  /** One row for each step; null breaks the line. */
  rows: { ms: number; value: number | null; words: string }[]
  domain: [number, number]
  xDomain: [number, number]
  ticks: { ms: number; label: string }[]
  yTicks: number[]
  band: { from: number; to: number } | null
  bandWords: string
  unit: string
  title: string
  summary: string
}

interface Kind {
  title: string
  unit: string
  digits: number
  /** The axis is never finer than this. */
  leastSpan: number
  tickStep: number[]
}

export const HISTORY_KINDS = {
  ph: { title: 'pH', unit: '', digits: 2, leastSpan: 1, tickStep: [0.2, 0.5, 1, 2] },
  orp: { title: 'ORP', unit: 'mV', digits: 0, leastSpan: 150, tickStep: [25, 50, 100, 200, 400] },
} satisfies Record<string, Kind>

/** One quantity over seven days for a chart: axis, band of its range, days as ticks in the facility's zone. */
export function prepareHistory(
  trace: TraceRows,
  values: (number | null)[],
  range: Span,
  kind: Kind,
  zone: string,
): HistoryModel | null {
  const known = values.filter((value) => value !== null)
  if (known.length === 0) return null
  const start = Date.parse(trace.startAt)
  const end = start + trace.stepMin * 60_000 * Math.max(1, values.length - 1)
  const text = (value: number) => `${value.toFixed(kind.digits)}${kind.unit && ` ${kind.unit}`}`
  const [yLow, yHigh, step] = axisOf(
    [...known, range.min, range.max].filter((value) => value !== null),
    kind,
  )
  return {
    rows: values.map((value, index) => {
      const ms = start + index * trace.stepMin * 60_000
      const words = `${exactTime(ms, zone, end)}: ${value === null ? 'nothing heard' : text(value)}`
      return { ms, value, words }
    }),
    domain: [yLow, yHigh],
    xDomain: [start, end],
    ticks: midnights(start, end, zone).map((ms) => ({ ms, label: `${weekday(ms, zone)} ${dayName(ms, zone)}` })),
    yTicks: Array.from({ length: Math.round((yHigh - yLow) / step) + 1 }, (_, n) =>
      Number((yLow + n * step).toFixed(2)),
    ),
    band: range.min === null && range.max === null ? null : { from: range.min ?? yLow, to: range.max ?? yHigh },
    bandWords: bandWords(range, kind),
    unit: kind.unit,
    title: kind.title,
    summary: `${kind.title} between ${text(Math.min(...known))} and ${text(Math.max(...known))}${heardWords(values, trace.stepMin)}`,
  }
}

const heardWords = (values: (number | null)[], stepMin: number) => {
  const hours = Math.round((values.filter((value) => value === null).length * stepMin) / 60)
  return hours ? `; ${hours} h without data` : ''
}

function bandWords({ min, max }: Span, { unit }: Kind) {
  const tail = unit && ` ${unit}`
  if (min !== null && max !== null) return `band: ${min} to ${max}${tail}`
  if (min !== null) return `band: from ${min}${tail}`
  return max === null ? 'no range set' : `band: up to ${max}${tail}`
}

function axisOf(known: number[], kind: Kind): [number, number, number] {
  const low = Math.min(...known)
  const high = Math.max(...known)
  const widen = Math.max(0, kind.leastSpan - (high - low)) / 2
  const step = kind.tickStep.find((candidate) => (high - low + 2 * widen) / candidate <= 7) ?? kind.tickStep.at(-1) ?? 1
  const from = Math.floor((low - widen) / step + 1e-9) * step
  const to = Math.ceil((high + widen) / step - 1e-9) * step
  return [Number(from.toFixed(2)), Number(to.toFixed(2)), step]
}
