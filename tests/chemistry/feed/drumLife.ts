import { type DrumFacts, type DrumLevel, drumForecast, type RunTime, supplyPlan } from '@sightglass/chemistry'
import { createRandom } from '@sightglass/chemistry/plant'
import { DAY, drum, NOW } from '../support.ts'

/** A drum that lived before and lives on: what was written of it, and when it is truly empty if nobody fills it again. */
export interface DrumLife {
  drum: DrumFacts
  run: RunTime
  levelL: number
  emptyMs: number
}

const DAYS_BEFORE = 30
const DAYS_AFTER = 120
const CAPACITY_L = 200

/** Invented: use differs from day to day and more on weekends, sticks are misread, some refills are not written down. */
export function drumLife(seed: string, { forgotten = 0.1, stick = 0.01 } = {}): DrumLife {
  const random = createRandom(seed)
  const perDay = random.between(3, 15)
  const [weekend, drift] = [random.between(0.8, 1.8), random.between(-0.01, 0.01)]
  const litresPerMin = random.between(0.05, 0.3)
  const uses = Array.from({ length: DAYS_BEFORE + DAYS_AFTER }, (_, day) => {
    const busy = day % 7 >= 5 ? weekend : 1
    return perDay * busy * Math.exp(0.2 * random.normal()) * (1 + drift * (day - DAYS_BEFORE))
  })
  const minutes = uses.map((litres) => (litres / litresPerMin) * (1 + 0.03 * random.normal()))
  const levels: DrumLevel[] = []
  let levelL = random.between(0.5, 1) * CAPACITY_L
  let nextVisit = random.between(0, 4)
  for (let day = 0; day < DAYS_BEFORE; day++) {
    if (day >= nextVisit) {
      nextVisit += random.between(3, 8)
      const low = levelL < 0.55 * CAPACITY_L && day < DAYS_BEFORE - 3
      const fill = low ? CAPACITY_L * random.between(0.9, 1) - levelL : 0
      levelL += fill
      const read = Math.min(CAPACITY_L, Math.max(0, levelL + stick * CAPACITY_L * random.normal()))
      const noted = random.next() >= forgotten
      levels.push({ atMs: NOW - (DAYS_BEFORE - day) * DAY, levelL: read, deliveredL: noted ? fill : 0 })
    }
    levelL = Math.max(0, levelL - (uses[day] as number))
  }
  let left = levelL
  let emptyMs = NOW
  for (let day = DAYS_BEFORE; day < uses.length && left > 0; day++) {
    const use = uses[day] as number
    emptyMs += Math.min(1, left / use) * DAY
    left -= use
  }
  return {
    drum: { ...drum('sodiumHypochlorite', levels), capacityL: CAPACITY_L },
    run: runOf(minutes),
    levelL,
    emptyMs,
  }
}

/** Minutes of each day, spread evenly over it. */
function runOf(minutes: readonly number[]): RunTime {
  const upTo = (timeMs: number) => {
    const day = Math.max(0, (timeMs - NOW) / DAY + DAYS_BEFORE)
    const whole = Math.floor(day)
    const full = minutes.slice(0, whole).reduce((sum, one) => sum + one, 0)
    return full + (day - whole) * (minutes[whole] ?? 0)
  }
  return (fromMs, toMs) => upTo(toMs) - upTo(fromMs)
}

const LIVES = 1000

/** How often what is said of a thousand drums comes true. */
export function figuresOf(byRun: boolean) {
  const lives = Array.from({ length: LIVES }, (_, at) => drumLife(`life ${at}`)).filter(({ levelL }) => levelL > 0)
  const told = lives.flatMap((life) => {
    const forecast = drumForecast(life.drum, NOW, byRun ? life.run : null)
    if (!forecast || forecast.daysLeft.typical === null) return []
    const plan = supplyPlan(life.drum, forecast, NOW, NOW + 7 * DAY)
    const { low, typical, high } = forecast.daysLeft
    const latestMs = plan.latestMs ?? Number.POSITIVE_INFINITY
    return [
      { low, typical, high, latestMs, lasts: plan.lasts, truth: (life.emptyMs - NOW) / DAY, emptyMs: life.emptyMs },
    ]
  })
  const near = told.filter(({ latestMs }) => latestMs > NOW && latestMs < NOW + 7 * DAY)
  const sure = told.filter(({ lasts }) => lasts === 'sure')
  const ratios = told.map(({ typical, truth }) => typical / truth).sort((a, b) => a - b)
  const at = (share: number) => ratios[Math.floor(share * ratios.length)] as number
  return {
    count: told.length,
    /** The drum is empty within the range that was told. */
    inside: told.filter(({ low, high, truth }) => truth >= (low ?? 0) && truth <= (high ?? truth)).length / told.length,
    /** Days told over days that it lasted: median, and the ends of nine tenths. */
    middle: at(0.5),
    ends: [at(0.05), at(0.95)] as const,
    /** Of those to be filled within the week: empty before the time that was told. */
    tooLate: near.filter(({ latestMs, emptyMs }) => latestMs > emptyMs).length / near.length,
    /** Of those that were said to last a week, surely: did. */
    sureHeld: sure.filter(({ truth }) => truth >= 7).length / sure.length,
  }
}
