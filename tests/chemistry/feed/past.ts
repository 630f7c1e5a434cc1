import type { ControllerRecord, FeederFacts, HourRecord, LatestSample, PastTest, Snapshot } from '@sightglass/chemistry'
import { ACID_PUMP, controller, GOOD, HOUR, HYPOCHLORITE_PUMP, hour, NOW, snapshot, tested } from '../support.ts'

export const DAYS = 21

/** Minutes of sanitizer feed in each clock hour of a usual day: little at night, most in the afternoon. */
export const usualMin = (hoursAgo: number) => {
  const clock = (((24 - hoursAgo) % 24) + 24) % 24
  return clock >= 8 && clock < 20 ? 4 : 1
}

type Change = (hoursAgo: number) => Partial<HourRecord> | null

/** Three weeks of quiet hours, oldest first; `change` says what differs in an hour, null leaves it out. */
export function past(change: Change = () => ({}), days = DAYS): HourRecord[] {
  const hours: HourRecord[] = []
  for (let hoursAgo = days * 24; hoursAgo >= 1; hoursAgo--) {
    const changed = change(hoursAgo)
    if (changed) hours.push(hour(hoursAgo, { sanitizerFeedMin: usualMin(hoursAgo), phFeedMin: 1, ...changed }))
  }
  return hours
}

export interface PlantPast {
  hours?: HourRecord[]
  latest?: Partial<LatestSample>
  feeders?: FeederFacts[]
  pastTests?: PastTest[]
  recent?: LatestSample[]
  body?: Partial<Snapshot['body']>
  more?: Partial<Snapshot>
}

/** A body whose last weeks are known; tested before the last day, so that nothing speaks for or against the probes. */
export function withPast({ hours = past(), latest = {}, feeders, pastTests, recent, body, more }: PlantPast): Snapshot {
  const record: ControllerRecord = { ...controller(latest, hours), ...(recent ? { recent } : {}) }
  return {
    ...snapshot({
      tests: tested(GOOD, 30),
      feeders: feeders ?? [HYPOCHLORITE_PUMP, ACID_PUMP],
      controller: record,
      ...(body ? { body } : {}),
      ...more,
    }),
    ...(pastTests ? { pastTests } : {}),
  }
}

export const pastTest = (hoursAgo: number, sanitizerMgL: number | null, ph: number | null = 7.4): PastTest => ({
  atMs: NOW - hoursAgo * HOUR,
  sanitizerMgL,
  ph,
  saltMgL: null,
})

/** Tests twice a day over three weeks, up to an hour ago. */
export const steadyTests = (sanitizerMgL: (hoursAgo: number) => number): PastTest[] =>
  Array.from({ length: 42 }, (_, at) => 1 + (41 - at) * 12).map((hoursAgo) =>
    pastTest(hoursAgo, sanitizerMgL(hoursAgo)),
  )
