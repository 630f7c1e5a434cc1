import { QUANTITIES, type Quantity } from '../vocabulary.ts'
import { type LocalTime, localClock } from './clock.ts'
import { decide, NO_ORDERS, type Orders, onShare } from './controlling.ts'
import { type Fault, NO_TROUBLE, type Trouble, troubleAt } from './faults.ts'
import { createFeeder, type Feeder, fade, feed, flushPipe, takeFrom } from './feeding.ts'
import { createProbes, observe, type Probes, shownOrpMv, shownPh, testByHand } from './observing.ts'
import { freeShareOf, remembered } from './oxidant.ts'
import { createRandom } from './random.ts'
import { createRecord } from './recording.ts'
import { type DrumReading, renew, tendBalance, tendByHand, tendDrums, tendProbes } from './servicing.ts'
import { bathersNow, nextWeather, sunHeight, type Weather } from './sky.ts'
import type { ControllerSpec, FilterSpec, PlantSpec, PlantWork, SimulateOptions, TestReading } from './spec.ts'
import { fillWater, type Ledger, passHour, passMinute, ratesOf, type Water, type Weathering } from './water.ts'

const STEP_MIN = 5
const STEP_MS = STEP_MIN * 60_000
/** A day. */
const STEPS_PER_STRETCH = 1440 / STEP_MIN

/** A day of what a plant wrote: samples as columns, tests and drum levels as rows. */
export interface Stretch {
  /** How many of the columns' places are filled: a silent controller fills none. */
  count: number
  atMs: Float64Array
  /** NaN where the controller has no such channel; `flowOn` is 0 or 1. */
  columns: Record<Quantity, Float64Array>
  readings: TestReading[]
  drumLevels: DrumReading[]
  work: PlantWork[]
}

/** The plant as it stands at the end. */
export interface PlantState {
  water: Water
  feeders: Feeder[]
  ledger: Ledger
  orpSetPointMv: number
}

/**
 * Lets a plant run from one time to another, a minute at a time, and gives what its controller and its people wrote,
 * day by day. Pure: the same plant and options give the same numbers.
 */
export function* simulate(plant: PlantSpec, options: SimulateOptions): Generator<Stretch, PlantState> {
  const run = new Run(plant, options)
  let stretch = emptyStretch()
  let steps = 0
  const first = Math.floor(options.fromMs / STEP_MS) * STEP_MS
  for (let atMs = first + STEP_MS; atMs <= options.toMs; atMs += STEP_MS) {
    run.step(atMs, stretch)
    if (++steps % STEPS_PER_STRETCH === 0) {
      yield stretch
      stretch = emptyStretch()
    }
  }
  if (stretch.count || stretch.readings.length || stretch.drumLevels.length) yield stretch
  return run.state()
}

const emptyStretch = (): Stretch => ({
  count: 0,
  atMs: new Float64Array(STEPS_PER_STRETCH),
  columns: Object.fromEntries(
    QUANTITIES.map((quantity) => [quantity, new Float64Array(STEPS_PER_STRETCH).fill(Number.NaN)]),
  ) as Record<Quantity, Float64Array>,
  readings: [],
  drumLevels: [],
  work: [],
})

/** Below this share of its flow a plant counts as standing still, and a blocked strainer as blocked. */
const STILL = 0.2
const BLOCKED = 0.7
const FLICKERS_FROM = 0.35

class Run {
  readonly #plant: PlantSpec
  readonly #faults: readonly Fault[]
  readonly #random
  readonly #clock
  readonly #share
  readonly #bromine: boolean
  readonly #water: Water
  readonly #feeders: Feeder[]
  readonly #probes: Probes | null
  readonly #ledger: Ledger = { fedMgL: 0, byHandMgL: 0, usedMgL: 0, washedOutMgL: 0 }
  readonly #byHand = { sanitizer: 0.15, ph: 0 }
  readonly #filter
  readonly #record
  readonly #tests
  readonly #visits
  readonly #setPoint: SimulateOptions['setPoint']
  #controller: ControllerSpec | null
  #orders: Orders = NO_ORDERS
  #orpSetPointMv: number
  #weather: Weather
  #day = -1
  #crowd = 1
  /** Share of the time on in this step, per role. */
  readonly #on = { primary: 0, backup: 0, ph: 0 }

  constructor(plant: PlantSpec, options: SimulateOptions) {
    this.#plant = plant
    this.#faults = options.faults ?? []
    this.#random = createRandom(options.seed)
    this.#clock = localClock(plant.timeZone)
    this.#share = remembered(freeShareOf(plant.sanitizerSystem))
    this.#bromine = plant.sanitizerSystem === 'bromine'
    const local = this.#clock(options.fromMs)
    this.#weather = nextWeather(null, plant.latitudeDeg, local.dayOfYear, this.#random)
    this.#water = fillWater(plant, plant.heatedToC ?? this.#weather.airC)
    this.#feeders = plant.feeders.map(createFeeder)
    this.#filter = filterShare(plant.filter)
    this.#record = createRecord(options)
    this.#setPoint = options.setPoint
    this.#controller = plant.controller
    this.#probes = plant.controller && createProbes(this.#water, plant.controller, this.#share, this.#bromine)
    this.#orpSetPointMv = plant.controller?.orpSetPointMv ?? 0
    this.#tests = queue(options.tests ?? [], (test) => test.atMs, options.fromMs)
    this.#visits = queue(options.visits ?? [], (visit) => visit, options.fromMs)
  }

  state(): PlantState {
    return { water: this.#water, feeders: this.#feeders, ledger: this.#ledger, orpSetPointMv: this.#orpSetPointMv }
  }

  /** Five minutes up to `atMs`, then whatever is written down at that moment. */
  step(atMs: number, into: Stretch): void {
    const local = this.#clock(atMs)
    const trouble = troubleAt(this.#faults, atMs)
    const weathering = this.#weathering(local, trouble)
    const onTheHour = atMs % 3_600_000 === 0
    if (onTheHour) this.#passHour(weathering)
    if (trouble !== NO_TROUBLE) this.#meddle(local, trouble)
    this.#controller =
      this.#plant.controller && trouble.settings
        ? { ...this.#plant.controller, ...trouble.settings }
        : this.#plant.controller
    const flowShare = (1 - trouble.flowLost) * this.#filter(atMs)
    const flows = flowShare > STILL
    const throughCell = flows && trouble.strainer < BLOCKED && !this.#flickers(trouble)
    const switchOn = (trouble.flowSwitchStuckOn || throughCell) && !trouble.flowSwitchStuckOff
    this.#minutes(atMs, weathering, flowShare, flows, switchOn || trouble.flowIgnored, trouble)
    const display = this.#display(throughCell, trouble)
    const lost = this.#record.gap(atMs)
    if (display && !trouble.silent && !lost) this.#sample(atMs, into, display, flowShare, switchOn)
    this.#people(atMs, into, display, trouble)
  }

  /** A strainer that fills up lets the switch drop now and then, and at last for good. */
  #flickers({ strainerFilling }: Readonly<Trouble>): boolean {
    if (strainerFilling <= FLICKERS_FROM) return false
    return this.#random.next() < ((strainerFilling - FLICKERS_FROM) / (1 - FLICKERS_FROM)) ** 2
  }

  #weathering(local: LocalTime, trouble: Readonly<Trouble>): Weathering {
    const { setting, latitudeDeg, heatedToC, bathers } = this.#plant
    if (local.dayOfYear !== this.#day) {
      this.#day = local.dayOfYear
      this.#weather = nextWeather(this.#weather, latitudeDeg, local.dayOfYear, this.#random)
    }
    const sun = setting === 'outdoor' ? sunHeight(latitudeDeg, local) * this.#weather.clear : 0
    return {
      sun,
      bathers: bathersNow(bathers, local) * this.#crowd * (1 + trouble.crowd),
      heldAtC: Math.min(heatedToC ?? this.#weather.airC + 3 * sun, trouble.heaterC ?? 100),
    }
  }

  #passHour(weathering: Weathering): void {
    passHour(this.#plant, this.#water, weathering, this.#ledger)
    this.#feeders.forEach(fade)
    this.#crowd = this.#random.between(0.5, 1.5)
  }

  /** What people do to a plant that they should not. */
  #meddle({ hour }: LocalTime, trouble: Readonly<Trouble>): void {
    for (const feeder of this.#feeders) {
      const hoursLeft = trouble.drumHoursLeft[feeder.role]
      if (hoursLeft !== null) takeFrom(feeder, hoursLeft)
    }
    this.#water.cyanuricAcidMgL += trouble.stabilizerMgLDay / STEPS_PER_STRETCH
    this.#water.combinedMgL += trouble.combinedMgLDay / STEPS_PER_STRETCH
    this.#water.saltMgL = Math.max(0, this.#water.saltMgL - trouble.saltLostMgLDay / STEPS_PER_STRETCH)
    if (trouble.shockMgLDay && hour >= 12 && hour < 12 + STEP_MIN / 60) {
      this.#water.spreading.sanitizerMgL += trouble.shockMgLDay
      this.#ledger.byHandMgL += trouble.shockMgLDay
    }
  }

  #minutes(
    atMs: number,
    weathering: Weathering,
    flowShare: number,
    flows: boolean,
    mayFeed: boolean,
    trouble: Readonly<Trouble>,
  ): void {
    const rates = ratesOf(this.#plant, this.#water, weathering, flows ? flowShare : 0)
    if (flows) flushPipe(this.#water)
    const on = this.#on
    on.primary = on.backup = on.ph = 0
    for (let before = STEP_MIN; before > 0; before--) {
      const minute = Math.floor(atMs / 60_000) - before
      for (const feeder of this.#feeders) {
        const share = this.#ordered(feeder, minute, mayFeed, trouble)
        on[feeder.role] += share / STEP_MIN
        feed(feeder, share, trouble, this.#plant, this.#water, flows, this.#ledger)
        if (feeder.spec.drum && feeder.levelL <= 0) feeder.drySinceMs ??= atMs
      }
      passMinute(this.#water, rates, this.#ledger)
    }
  }

  /** What the controller, or the setting by hand, asks of a feeder in this minute. */
  #ordered(feeder: Feeder, minute: number, mayFeed: boolean, trouble: Readonly<Trouble>): number {
    if (!mayFeed) return 0
    const { role, spec } = feeder
    if (trouble.outputOff[role]) return 0
    const controller = this.#controller
    if (!controller) return role === 'primary' ? this.#byHand.sanitizer : 0
    const inCycle = minute % controller.cycleMin
    if (inCycle === 0 && feeder === this.#feeders[0]) this.#decide()
    const least = trouble.outputStuckOn[role]
    if (spec.kind === 'saltGenerator') return Math.max(least, this.#orders.sanitizer)
    const order = role === 'ph' ? this.#orders.ph : role === 'backup' ? this.#orders.backup : this.#orders.sanitizer
    return Math.max(least, onShare(controller, order, role === 'ph' ? 1 : 0, inCycle, trouble))
  }

  #decide(): void {
    const controller = this.#controller
    if (controller && this.#probes) {
      const { orpMv, jumpMv, ph } = this.#probes
      this.#orders = decide(controller, this.#orpSetPointMv, orpMv + jumpMv, ph)
    }
  }

  #display(throughCell: boolean, trouble: Readonly<Trouble>): { ph: number; orpMv: number } | null {
    const { controller } = this.#plant
    if (!controller || !this.#probes) return null
    observe(this.#probes, this.#water, controller, this.#share, this.#bromine, throughCell, trouble, this.#random)
    return {
      ph: shownPh(this.#probes, controller, this.#random, trouble.phStuck),
      orpMv: shownOrpMv(this.#probes, controller, this.#random, trouble.orpStuck),
    }
  }

  #sample(
    atMs: number,
    into: Stretch,
    display: { ph: number; orpMv: number },
    flowShare: number,
    switchOn: boolean,
  ): void {
    const { controller, flowLMin } = this.#plant
    if (!controller) return
    const at = into.count++
    into.atMs[at] = atMs
    for (const channel of controller.channels) {
      into.columns[channel][at] = this.#reported(channel, display, flowShare * flowLMin, switchOn)
    }
  }

  #reported(channel: Quantity, display: { ph: number; orpMv: number }, flowLMin: number, switchOn: boolean): number {
    switch (channel) {
      case 'ph':
        return display.ph
      case 'orpMv':
        return display.orpMv
      case 'freeChlorineMgL':
        return rounded(Math.max(0, this.#water.sanitizerMgL * (1 + 0.02 * this.#random.normal())), 100)
      case 'tempC':
        return rounded(this.#water.tempC + 0.05 * this.#random.normal(), 10)
      case 'flowLMin':
        return Math.max(0, Math.round(flowLMin * (1 + 0.01 * this.#random.normal())))
      case 'flowOn':
        return switchOn ? 1 : 0
      case 'sanitizerFeedPct':
        return rounded(this.#on.primary * 100, 10)
      case 'backupFeedPct':
        return rounded(this.#on.backup * 100, 10)
      case 'phFeedPct':
        return rounded(this.#on.ph * 100, 10)
      case 'phSetPoint':
        return this.#plant.controller?.phSetPoint ?? Number.NaN
      case 'orpSetPointMv':
        return this.#orpSetPointMv
    }
  }

  #people(
    atMs: number,
    into: Stretch,
    display: { ph: number; orpMv: number } | null,
    trouble: Readonly<Trouble>,
  ): void {
    while (this.#tests.due(atMs)) {
      const { by } = this.#tests.take()
      if (trouble.testsSkipped) continue
      const reading = this.#record.test(testByHand(by, atMs, this.#plant, this.#water, display, this.#random))
      if (!reading) continue
      into.readings.push(reading)
      if (!this.#plant.controller) tendByHand(this.#plant, this.#water, this.#byHand, reading, this.#ledger)
    }
    while (this.#visits.due(atMs)) {
      this.#visits.take()
      this.#visit(atMs, into, display, trouble)
    }
  }

  #visit(atMs: number, into: Stretch, display: { ph: number; orpMv: number } | null, trouble: Readonly<Trouble>): void {
    into.drumLevels.push(
      ...tendDrums(this.#feeders, atMs, trouble).map((level) => this.#record.level(level, this.#plant)),
    )
    if (trouble.testsSkipped) return
    const tested = testByHand('technician', atMs, this.#plant, this.#water, display, this.#random)
    const reading = this.#record.test(tested, true) ?? tested
    into.readings.push(reading)
    if (trouble.balanceForgotten) return
    const stabilizer = this.#water.cyanuricAcidMgL
    tendBalance(this.#plant, this.#water, trouble)
    if (this.#water.cyanuricAcidMgL > stabilizer) into.work.push({ atMs, kind: 'stabilizerAdded' })
    if (!trouble.neverReplaced && renew(this.#plant, this.#water, this.#ledger))
      into.work.push({ atMs, kind: 'waterReplaced' })
    if (this.#probes) {
      const before = this.#orpSetPointMv
      const trim = this.#probes.phTrim
      const moved = tendProbes(this.#plant, this.#probes, before, reading, tested)
      into.work.push({ atMs, kind: 'orpProbeCleaned' }, { atMs, kind: 'phProbeCleaned' })
      if (this.#probes.phTrim !== trim) into.work.push({ atMs, kind: 'phCalibrated' })
      this.#orpSetPointMv = this.#setPoint?.({ atMs, orpSetPointMv: before, reading, work: into.work }) ?? moved
    } else tendByHand(this.#plant, this.#water, this.#byHand, reading, this.#ledger)
  }
}

/** The part of the flow that the filter lets through: all of it just after a backwash, none while it is washed. */
function filterShare(filter: FilterSpec | undefined): (atMs: number) => number {
  if (!filter) return () => 1
  const everyMs = filter.everyDays * STEPS_PER_STRETCH * STEP_MS
  return (atMs) => {
    const sinceMs = (((atMs - filter.firstAtMs) % everyMs) + everyMs) % everyMs
    return sinceMs < filter.minutes * 60_000 ? 0 : 1 - (filter.loses * sinceMs) / everyMs
  }
}

const rounded = (value: number, parts: number) => Math.round(value * parts) / parts

/** Takes planned things off a list as their time comes; what lies before the start has passed. */
function queue<T>(list: readonly T[], atMs: (item: T) => number, fromMs: number) {
  let next = list.findIndex((item) => atMs(item) > fromMs)
  if (next < 0) next = list.length
  return {
    due: (nowMs: number) => next < list.length && atMs(list[next] as T) <= nowMs,
    take: () => list[next++] as T,
  }
}
