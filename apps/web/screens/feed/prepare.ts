import { CAUTIONS, type FeedView, formatQuantity, type Phrase, type Unit } from '@sightglass/chemistry'
import { axisOf, dayAxis, inOrder, type PlotModel, type PlotRow, roundStep } from '../../charts/prepare/plot.ts'
import { type System, unitOf } from '../../shared/measure.ts'
import { counted, plainNumber } from '../../shared/numbers.ts'
import { sentenceOf } from '../../shared/phrase.ts'
import { clockTime, dayName, exactTime, weekday } from '../../shared/time.ts'
import { DRUM_CONTENT_WORDS, FEEDER_ROLE_WORDS } from '../../shared/words.ts'

/** How it is read. */
export interface Reader {
  system: System
  /** The facility's. */
  zone: string
}

export interface FeedModel {
  missing: string[]
  effort: EffortModel[]
  drums: DrumModel[]
  settings: SettingsModel[]
}

export const prepareFeed = (view: FeedView, reader: Reader): FeedModel => ({
  missing: view.missing.map((one) => sentenceOf(one, reader.system)),
  effort: view.effort.map((one) => effortOf(one, view, reader)),
  drums: view.drums.map((one) => drumOf(one, view.atMs, reader)),
  settings: view.tuning.map((one) => settingsOf(one, reader)),
})

export interface EffortModel {
  role: string
  title: string
  usual: string
  chart: PlotModel | null
  /** Newest first. */
  days: { fromMs: number; day: string; ran: string }[]
}

const DAY_MS = 86_400_000

/** Less than this is told in minutes. */
const IN_MINUTES = 90

/** `2.4 h`, `35 min`, `0 min` */
const runText = (minutes: number) =>
  minutes < IN_MINUTES ? `${plainNumber(minutes, 0)} min` : `${plainNumber(minutes / 60, 1)} h`

function effortOf(
  { role, feeders, minPerDay, usualMinPerDay }: FeedView['effort'][number],
  view: FeedView,
  { zone }: Reader,
): EffortModel {
  const days = view.days.map(({ fromMs }, at) => ({ fromMs, minutes: minPerDay[at] ?? null }))
  const known = days.flatMap(({ minutes }) => minutes ?? [])
  const named = feeders.map(({ name }) => name).join(', ')
  const unit = Math.max(...known) < IN_MINUTES ? { name: 'minutes', min: 1 } : { name: 'hours', min: 60 }
  const first = days[0]
  const last = days[days.length - 1]
  const dayText = (fromMs: number) => `${weekday(fromMs, zone)} ${dayName(fromMs, zone)}`
  const ranText = (minutes: number | null) => (minutes === null ? 'not heard' : runText(minutes))
  return {
    role,
    title: named ? `${FEEDER_ROLE_WORDS[role]}: ${named}` : `${FEEDER_ROLE_WORDS[role]}: no feeder is entered`,
    usual:
      usualMinPerDay === null
        ? 'Too few days were heard to tell a usual one.'
        : `Usually ${runText(usualMinPerDay)} a day in the last week.`,
    chart:
      first && last && known.length > 0
        ? {
            title: 'Run time a day',
            summary: `between ${runText(Math.min(...known))} and ${runText(Math.max(...known))} over ${counted(days.length, 'day')}${known.length < days.length ? `; ${counted(days.length - known.length, 'day')} not heard` : ''}`,
            // a bar stands in the middle of its day
            x: dayAxis(first.fromMs, last.fromMs + DAY_MS, zone),
            y: axisOf([0, ...known.map((minutes) => minutes / unit.min)], {
              title: unit.name,
              leastSpan: 0.5,
              atLeast: 0,
            }),
            series: [{ key: 'ran', name: `${unit.name} of run`, form: 'bar', tone: 'main' }],
            rows: days.map(({ fromMs, minutes }) => ({
              x: fromMs + DAY_MS / 2,
              ran: minutes === null ? null : minutes / unit.min,
              words: `${dayText(fromMs)}: ${ranText(minutes)}`,
            })),
            marks: [],
            levels: [],
          }
        : null,
    days: days.map(({ fromMs, minutes }) => ({ fromMs, day: dayText(fromMs), ran: ranText(minutes) })).reverse(),
  }
}

export interface DrumModel {
  id: string
  title: string
  what: string
  head: string
  told: string[]
  values: { label: string; value: string }[]
  chart: PlotModel | null
  levels: { atMs: number; at: string; level: string; delivered: string }[]
}

function drumOf(
  { drum, feeders, levels, readEmpty, forecast, course, plan, told, evidence }: FeedView['drums'][number],
  nowMs: number,
  { system, zone }: Reader,
): DrumModel {
  const text = (value: number, unit: Unit) => formatQuantity({ value, unit }, system)
  const timed = (ms: number) => exactTime(ms, zone, nowMs)
  return {
    id: drum.id,
    title: drum.name,
    what: `${DRUM_CONTENT_WORDS[drum.content]}${feeders.length ? `, for ${feeders.join(', ')}` : ''}`,
    head: headOf(forecast, readEmpty, system),
    told: [
      ...told.map((one) => sentenceOf(one, system)),
      ...(plan?.latestMs && plan.latestMs <= nowMs ? ['Fill it now.'] : []),
      ...(plan?.latestMs && plan.latestMs > nowMs && plan.latestMs < nowMs + TOLD_DAYS * DAY_MS
        ? [`Fill it by ${timed(plan.latestMs)} at the latest: a day of its fastest use is left then.`]
        : []),
    ],
    values: evidence.map(({ label, quantity, atMs }) => ({
      label: atMs === null ? label : `${label}, ${timed(atMs)}`,
      value: formatQuantity(quantity, system),
    })),
    chart: drumChart({ drum, levels, course, nowMs, system, zone, head: headOf(forecast, readEmpty, system) }),
    levels: [...levels].reverse().map(({ atMs, levelL, deliveredL }) => ({
      atMs,
      at: timed(atMs),
      level: text(levelL, 'L'),
      delivered: deliveredL > 0 ? text(deliveredL, 'L') : '',
    })),
  }
}

/** Further ahead than this nobody plans. */
const TOLD_DAYS = 60

/** `6 to 9 days left, about 7.5` */
function headOf(forecast: FeedView['drums'][number]['forecast'], readEmpty: boolean, system: System): string {
  if (readEmpty) return 'It was read empty'
  if (!forecast) return 'Days left: not known'
  const { low, typical, high } = forecast.daysLeft
  const days = (value: number) => formatQuantity({ value, unit: 'd' }, system)
  if (typical === null || low === null) return 'Nothing is used: it does not run down'
  if (low > TOLD_DAYS) return `More than ${days(TOLD_DAYS)} left`
  if (typical === 0) return 'By its use it should be empty by now'
  return high === null
    ? `At least ${days(low)} left, about ${days(typical)}`
    : `${plainNumber(low, low < 10 ? 1 : 0)} to ${days(high)} left, about ${days(typical)}`
}

interface DrumDrawn extends Pick<FeedView['drums'][number], 'drum' | 'levels' | 'course'> {
  nowMs: number
  system: System
  zone: string
  head: string
}

function drumChart({ drum, levels, course, nowMs, system, zone, head }: DrumDrawn): PlotModel | null {
  const first = levels[0]
  if (!first) return null
  const unit = unitOf('L', system)
  const read: PlotRow[] = levels.flatMap(({ atMs, levelL, deliveredL }, place): PlotRow[] => {
    const level = unit.toReader(levelL)
    const filled = deliveredL > 0 ? `, ${formatQuantity({ value: deliveredL, unit: 'L' }, system)} filled in` : ''
    return [
      ...(deliveredL > 0 && place > 0 ? [{ x: atMs - 1, line: unit.toReader(Math.max(0, levelL - deliveredL)) }] : []),
      {
        x: atMs,
        line: level,
        read: level,
        words: `${exactTime(atMs, zone, nowMs)}: ${formatQuantity({ value: levelL, unit: 'L' }, system)}${filled}`,
      },
    ]
  })
  const ahead: PlotRow[] = course.map(({ atMs, low, typical, high }) => ({
    x: atMs,
    range: [unit.toReader(low), unit.toReader(high)],
    usual: unit.toReader(typical),
    words: `${exactTime(atMs, zone, nowMs)}: ${plainNumber(unit.toReader(low), 0)} to ${formatQuantity({ value: high, unit: 'L' }, system)}`,
  }))
  const last = course[course.length - 1]
  const newest = read[read.length - 1]
  const since: PlotRow[] = ahead.length > 0 && newest ? [{ x: newest.x, usual: newest.line }] : []
  return {
    title: 'Level',
    summary: `${levels.length} readings since ${exactTime(first.atMs, zone, nowMs)}; ${head}`,
    x: dayAxis(first.atMs, Math.max(nowMs, last?.atMs ?? nowMs), zone),
    y: axisOf([0, unit.toReader(drum.capacityL)], { title: unit.label, leastSpan: 1, atLeast: 0 }),
    series: [
      ...(course.length > 0
        ? [
            { key: 'range', name: 'from now on, fastest to slowest use', form: 'band' as const, tone: 'main' as const },
            { key: 'usual', name: 'usual use', form: 'dashes' as const, tone: 'main' as const },
          ]
        : []),
      { key: 'line', name: 'as read', form: 'line', tone: 'main' },
      { key: 'read', name: 'reading', form: 'dots', tone: 'main' },
    ],
    rows: inOrder(read, since, ahead),
    marks: [{ at: nowMs, label: 'now' }],
    levels: [],
  }
}

export interface SettingsModel {
  id: string
  title: string
  told: string
  missing: string[]
  assumed: string[]
  rows: { label: string; today: string; advised: string }[]
  chart: PlotModel | null
  working: string[]
  cautions: string[]
}

const HOUR_MS = 3_600_000

function settingsOf(view: FeedView['tuning'][number], { system, zone }: Reader): SettingsModel {
  const { feeder, told, missing, assumed, advised, cautions } = view
  const sentences = (phrases: readonly Phrase[]) => phrases.map((one) => sentenceOf(one, system))
  return {
    id: feeder.id,
    title: `${FEEDER_ROLE_WORDS[feeder.role]}: ${feeder.name}`,
    told: told ? sentenceOf(told, system) : '',
    missing: sentences(missing),
    assumed: sentences(assumed),
    rows: advised ? settingRows(view, advised, system) : [],
    chart: settingsChart(view, zone),
    working: advised ? sentences(advised.working) : [],
    cautions: advised ? cautions.map((key) => CAUTIONS[key]) : [],
  }
}

const VERDICTS = {
  fits: 'fits what it has to do',
  tooSmall: 'too small for a busy hour',
  tooLarge: 'too large for its body of water',
} as const

function settingRows(
  { today, run, unit }: FeedView['tuning'][number],
  advised: NonNullable<FeedView['tuning'][number]['advised']>,
  system: System,
): SettingsModel['rows'] {
  const min = (value: number) => `${plainNumber(value, value < 10 ? 1 : 0)} min`
  const sized = (value: number) =>
    unit === 'pH' ? plainNumber(value, 2) : `${plainNumber(value, value < 10 ? 1 : 0)} mV`
  const set = (value: number | undefined, text: (value: number) => string) =>
    value === undefined ? 'not entered' : text(value)
  const { largestDose, verdict } = advised
  const dose = [
    largestDose.litres !== null && formatQuantity({ value: largestDose.litres, unit: 'L' }, system),
    largestDose.mgL !== null && formatQuantity({ value: largestDose.mgL, unit: 'mg/L' }, system),
    `moves ${unit === 'pH' ? 'pH' : 'ORP'} by ${sized(largestDose.moves)}`,
  ]
  const reached = (minutes: number | null | undefined) =>
    minutes === undefined ? '' : minutes === null ? 'not within the day' : `after ${min(minutes)}`
  return [
    { label: 'Longest on-time', today: set(today?.onTimeMin, min), advised: min(advised.onTimeMin) },
    { label: 'Wait after it', today: set(today?.waitMin, min), advised: min(advised.waitMin) },
    { label: 'Proportional band', today: set(today?.band, sized), advised: sized(advised.band) },
    { label: 'One on-time gives', today: '', advised: dose.filter(Boolean).join(', ') },
    ...(run
      ? [
          {
            label: 'Goes beyond its set point by',
            today: run.now ? sized(run.now.overshoot) : '',
            advised: sized(run.advised.overshoot),
          },
          {
            label: 'Comes near its set point',
            today: reached(run.now?.reachedMin),
            advised: reached(run.advised.reachedMin),
          },
        ]
      : []),
    { label: 'The feeder', today: '', advised: VERDICTS[verdict] },
  ]
}

/** Both runs side by side over the coming hours. */
function settingsChart({ run, unit, start }: FeedView['tuning'][number], zone: string): PlotModel | null {
  if (!run || !start) return null
  const { now, advised } = run
  const sized = (value: number) => (unit === 'pH' ? plainNumber(value, 2) : plainNumber(value, 0))
  const rows: PlotRow[] = advised.atMs.map((atMs, at) => ({
    x: atMs,
    advised: advised.value[at],
    ...(now && { today: now.value[at] }),
    words: `${clockTime(atMs, zone)}: as advised ${sized(advised.value[at] ?? Number.NaN)}${now ? `, as today ${sized(now.value[at] ?? Number.NaN)}` : ''}`,
  }))
  const fromMs = start.nowMs
  // so that the line of the set point never lies on an edge
  const room = unit === 'pH' ? 0.05 : 5
  const toMs = fromMs + start.hours * HOUR_MS
  const step = roundStep(start.hours, 6) < 3 ? 3 : 6
  const ticks = Array.from({ length: Math.floor(start.hours / step) + 1 }, (_, at) => fromMs + at * step * HOUR_MS)
  return {
    title: 'The coming hours, simulated',
    summary: `begins as after a busy day; ${now ? `set as today it goes beyond ${sized(start.setPoint)} by ${sized(now.overshoot)}, ` : ''}as advised by ${sized(advised.overshoot)}`,
    x: {
      title: '',
      domain: [fromMs, toMs],
      ticks: ticks.map((at) => ({ at, label: at === fromMs ? 'now' : `${(at - fromMs) / HOUR_MS} h` })),
    },
    y: axisOf([...advised.value, ...(now?.value ?? []), start.setPoint - room, start.setPoint + room], {
      title: unit === 'pH' ? 'pH' : 'ORP, mV',
      leastSpan: unit === 'pH' ? 0.4 : 30,
    }),
    series: [
      ...(now ? [{ key: 'today', name: 'set as today', form: 'dashes' as const, tone: 'other' as const }] : []),
      { key: 'advised', name: 'as advised', form: 'line', tone: 'main' },
    ],
    rows,
    marks: [],
    levels: [{ at: start.setPoint, label: `set point ${sized(start.setPoint)}`, tone: 'faint' }],
  }
}
