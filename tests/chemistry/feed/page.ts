import {
  busyStart,
  drawnStretches,
  drawOf,
  drumForecast,
  type FeedSettings,
  feedTuning,
  reachMin,
  supplyPlan,
  type TuningCase,
  tuningRun,
} from '@sightglass/chemistry'
import { settingsWords } from '../../../packages/chemistry/src/feed/tuningWords.ts'
import { DAY, NOW } from '../support.ts'
import { figuresOf } from './drumLife.ts'
import { ACID, acidAt, CHLORINE, DRUM, RUN, SPA_ACID, SPA_CHLORINE } from './examples.ts'
import { actsOn, HARMLESS, runOf, sharpOf } from './randomPlants.ts'

const round = (value: number, decimals: number) => Number(value.toFixed(decimals)).toString()

const CASES: readonly [string, TuningCase][] = [
  ['100 m³, hypochlorite', CHLORINE],
  ['100 m³, acid, alkalinity 60', acidAt(60)],
  ['100 m³, acid, alkalinity 80', ACID],
  ['100 m³, acid, alkalinity 120', acidAt(120)],
  ['100 m³, acid, alkalinity 180', acidAt(180)],
  ['4 m³ spa, hypochlorite', SPA_CHLORINE],
  ['4 m³ spa, acid, alkalinity 80', SPA_ACID],
]
/** What the advice is looked at against. */
const LONG = { onTimeMin: 30, waitMin: 10 }

/** One row for each example: what is advised, and how it acts beside a long on-time, as the page has it. */
export const tuningRows = (): string[] =>
  CASES.map(([name, given]) => {
    const { role } = given.feeder
    const isPh = role === 'ph'
    const tuning = feedTuning(given)
    if (!tuning) throw new Error(`no settings for ${name}`)
    const setPoint = isPh ? 7.4 : 740
    const today: FeedSettings = { ...LONG, band: (isPh ? HARMLESS.ph : HARMLESS.primary) / 5 }
    const { now, advised } = tuningRun(given, tuning, today, busyStart(given, NOW, setPoint, 48))
    const distance = Math.abs((advised.value[0] as number) - setPoint)
    const dose = isPh
      ? `${round(tuning.largestDose.meqL ?? 0, 3)} meq/L`
      : `${round(tuning.largestDose.mgL ?? 0, 2)} mg/L`
    const unit = (value: number) => (isPh ? round(value, 2) : `${round(value, 0)} mV`)
    const cells = [
      name,
      settingsWords(tuning, role),
      `${round((tuning.largestDose.litres ?? 0) * 1000, 0)} mL = ${dose}`,
      `${round((advised.reachedMin ?? Number.NaN) / 60, 1)} h (${round((reachMin(given, tuning, distance) ?? Number.NaN) / 60, 1)} h at most)`,
      unit(advised.overshoot),
      unit(now?.overshoot ?? Number.NaN),
    ]
    return `| ${cells.join(' | ')} |`
  })

/** The worked example of a drum, step by step. */
export function supplyLines(): string[] {
  const stretches = drawnStretches(DRUM, RUN)
  const draw = drawOf(stretches, NOW)
  const forecast = drumForecast(DRUM, NOW, RUN)
  if (!draw || !forecast?.run) throw new Error('the example tells no use')
  const plan = supplyPlan(DRUM, forecast, NOW, NOW + 7 * DAY)
  const perHour = stretches.map(
    ({ fallL, runMin, litresPerMin }) =>
      `${round(fallL, 0)} L in ${round(runMin, 0)} min are ${round(litresPerMin * 60, 2)} L/h`,
  )
  const { minutesPerDay, litresPerHour } = forecast.run
  const { useLPerDay, daysLeft } = forecast
  const range = ({ low, high }: { low: number | null; high: number | null }, decimals: number) =>
    `${round(low ?? Number.NaN, decimals)} to ${round(high ?? Number.NaN, decimals)}`
  return [
    `1. Between the readings ${perHour.join(', ')}: usually ${round(litresPerHour.typical, 2)} (${range(litresPerHour, 2)}).`,
    `2. In the last seven days it ran ${round(minutesPerDay.typical, 1)} min a day (${range(minutesPerDay, 1)}): ${round(useLPerDay.typical, 1)} L a day (${range(useLPerDay, 1)}).`,
    `3. Since the last reading it ran ${round(RUN(NOW - 2 * DAY, NOW) ?? Number.NaN, 0)} min: ${round(forecast.lastLevelL - forecast.levelL, 1)} L less, ${round(forecast.levelL, 1)} L are left.`,
    `4. They last ${round(daysLeft.typical ?? Number.NaN, 1)} days (${range(daysLeft, 1)}).`,
    `5. At a round in 7 days ${round(plan.fillL.typical, 0)} L fill it up (${range(plan.fillL, 0)}); it lasts till then: ${plan.lasts}. At the latest it is filled in ${round(((plan.latestMs ?? 0) - NOW) / DAY, 1)} days.`,
  ]
}

const percent = (share: number) => `${round(100 * share, 0)} %`

/** How often what is said of drums comes true. */
export const drumRows = (): string[] =>
  (
    [
      ['levels alone', false],
      ['run time', true],
    ] as const
  ).map(([name, byRun]) => {
    const { inside, middle, ends, tooLate, sureHeld } = figuresOf(byRun)
    const times = `${middle.toFixed(2)} (${ends.map((end) => end.toFixed(2)).join(' to ')})`
    return `| ${[name, percent(inside), times, percent(sureHeld), `${round(100 * tooLate, 1)} %`].join(' | ')} |`
  })

/** How settings act on many plants. */
export const plantRows = (): string[] =>
  (['primary', 'ph'] as const).map((role) => {
    const isPh = role === 'ph'
    const acts = actsOn(role)
    const hours = acts.map(({ reachedMin }) => (reachedMin ?? Number.NaN) / 60).sort((a, b) => a - b)
    const strong = acts.filter(({ tuning }) => tuning.onTimeMin < 30)
    const sharp = strong.map((plant) => runOf(plant, 48, sharpOf(plant, role)).now?.overshoot ?? Number.NaN)
    const unit = (value: number) => (isPh ? value.toFixed(2) : `${round(value, 1)} mV`)
    const cells = [
      isPh ? 'acid, pH' : 'chlorine, ORP',
      acts.length,
      unit(Math.max(...acts.map(({ overshoot }) => overshoot))),
      `${round(hours[Math.floor(hours.length / 2)] as number, 1)} h, ${round(hours.at(-1) as number, 0)} h`,
      `${unit(Math.min(...sharp))} to ${unit(Math.max(...sharp))}`,
    ]
    return `| ${cells.join(' | ')} |`
  })
