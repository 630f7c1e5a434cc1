import { dayName, midnights } from '../../shared/time.ts'

/** How one series is drawn; which is which is told by form as well as by tone. */
export type Form = 'line' | 'dashes' | 'step' | 'bar' | 'band' | 'dots' | 'rings' | 'crosses'
export type Tone = 'main' | 'other' | 'faint'

export interface Series {
  key: string
  name: string
  form: Form
  tone: Tone
}

/** Where it stands; one number for each series that has one there, two for a band. Null breaks a line. */
export interface PlotRow {
  x: number
  /** What a pointer at it reads. */
  words?: string
  [key: string]: number | string | [number, number] | null | undefined
}

export interface Axis {
  domain: [number, number]
  ticks: { at: number; label: string }[]
  /** What it measures, with its unit. */
  title: string
}

export interface Mark {
  at: number
  /** '' for a line alone. */
  label: string
}

/** A chart ready to be drawn. */
export interface PlotModel {
  title: string
  /** What a reader who does not see it should know. */
  summary: string
  x: Axis
  y: Axis
  series: Series[]
  rows: PlotRow[]
  /** Upright lines: at a time, something was done. */
  marks: Mark[]
  /** What marks are, for the legend; absent where each has its label. */
  marksName?: string
  /** Level lines. */
  levels: { at: number; label: string; tone: Tone }[]
}

/** Rows of several series in one list by where they stand. */
export const inOrder = (...lists: PlotRow[][]): PlotRow[] => lists.flat().sort((a, b) => a.x - b.x)

const STEPS = [1, 2, 2.5, 5, 10]

/** A round step with which a span has at most so many parts. */
export function roundStep(span: number, most: number): number {
  const size = 10 ** Math.floor(Math.log10(span / most))
  return size * (STEPS.find((step) => step * size * most >= span * (1 - 1e-9)) ?? 10)
}

interface Scale {
  title: string
  /** The axis is never finer than this. */
  leastSpan: number
  /** Of values that cannot be less. */
  atLeast?: number
  most?: number
}

/** An axis across all these values, on round numbers. */
export function axisOf(values: readonly number[], { title, leastSpan, atLeast, most = 6 }: Scale): Axis {
  const known = values.filter(Number.isFinite)
  const [least, greatest] = known.length > 0 ? [Math.min(...known), Math.max(...known)] : [atLeast ?? 0, leastSpan]
  const widen = Math.max(0, leastSpan - (greatest - least)) / 2
  const step = roundStep(greatest - least + 2 * widen, most)
  const from = Math.max(atLeast ?? Number.NEGATIVE_INFINITY, Math.floor((least - widen) / step + 1e-9) * step)
  const to = Math.max(from + step, Math.ceil((greatest + widen) / step - 1e-9) * step)
  const decimals = Math.min(
    4,
    Math.max(0, -Math.floor(Math.log10(step)) + (step / 10 ** Math.floor(Math.log10(step)) === 2.5 ? 1 : 0)),
  )
  const count = Math.round((to - from) / step)
  const ticks = Array.from({ length: count + 1 }, (_, at) => Number((from + at * step).toFixed(6)))
  return { title, domain: [from, to], ticks: ticks.map((at) => ({ at, label: at.toFixed(decimals) })) }
}

const DAY_MS = 86_400_000
const MOST_DAYS_NAMED = 6

/** Marks whose label would lie on another mark keep their line alone: all are listed beside the chart. */
export function named(marks: readonly Mark[], [from, to]: Axis['domain']): Mark[] {
  const room = ROOM_SHARE * (to - from)
  const middle = (from + to) / 2
  return marks.map((mark) => {
    const [start, end] = mark.at < middle ? [mark.at, mark.at + room] : [mark.at - room, mark.at]
    const isFree = marks.every((other) => other === mark || other.at < start || other.at > end)
    return isFree ? mark : { ...mark, label: '' }
  })
}
/** What a label takes of the width of a chart on a phone. */
const ROOM_SHARE = 0.4

/** The same axis, no further than these ends. */
export const between = (axis: Axis, from: number, to: number): Axis => ({
  ...axis,
  domain: [from, to],
  ticks: axis.ticks.filter(({ at }) => at >= from && at <= to),
})

/** An axis of days on the facility's clock. */
export function dayAxis(fromMs: number, toMs: number, zone: string): Axis {
  const days = midnights(fromMs, Math.max(toMs, fromMs + DAY_MS), zone)
  const every = Math.ceil(days.length / MOST_DAYS_NAMED)
  const named = days.filter((_, at) => (days.length - 1 - at) % every === 0)
  return {
    title: '',
    domain: [fromMs, Math.max(toMs, fromMs + DAY_MS)],
    ticks: named.map((ms) => ({ at: ms, label: dayName(ms, zone) })),
  }
}
