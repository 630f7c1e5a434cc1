/** Hours and days as the facility's wall clock shows them, daylight saving included. */
export interface LocalTime {
  /** 0 up to 24, with its fraction. */
  hour: number
  /** 0 is Sunday. */
  weekday: number
  dayOfYear: number
}

const HOUR_MS = 3_600_000

/** Zones change their offset on full quarters of an hour, so one look-up an hour is enough. */
export function localClock(timeZone: string): (atMs: number) => LocalTime {
  const offsetMs = zoneOffset(timeZone)
  let [knownHour, knownOffset] = [Number.NaN, 0]
  let [knownDay, knownDayOfYear] = [Number.NaN, 0]
  return (atMs) => {
    const hour = Math.floor(atMs / HOUR_MS)
    if (hour !== knownHour) [knownHour, knownOffset] = [hour, offsetMs(hour * HOUR_MS)]
    const local = atMs + knownOffset
    const day = Math.floor(local / 86_400_000)
    if (day !== knownDay) [knownDay, knownDayOfYear] = [day, dayOfYear(day)]
    return {
      hour: (local - day * 86_400_000) / HOUR_MS,
      weekday: (((day + 4) % 7) + 7) % 7,
      dayOfYear: knownDayOfYear,
    }
  }
}

/** From a day counted since 1970; 0 is the first of January. */
const dayOfYear = (day: number) => day - Date.UTC(new Date(day * 86_400_000).getUTCFullYear(), 0, 1) / 86_400_000

/** Offsets of each hour, shared by all plants of a zone: Intl takes its time. */
const OFFSETS = new Map<string, Map<number, number>>()

/** How far the zone's wall clock runs ahead of UTC at an instant, in ms. */
export function zoneOffset(timeZone: string): (atMs: number) => number {
  const format = new Intl.DateTimeFormat('en-US', {
    timeZone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    second: 'numeric',
  })
  const offsets = OFFSETS.get(timeZone) ?? new Map<number, number>()
  OFFSETS.set(timeZone, offsets)
  return (atMs) => {
    const known = offsets.get(atMs)
    if (known !== undefined) return known
    const part: Record<string, number> = {}
    for (const { type, value } of format.formatToParts(atMs)) part[type] = Number(value)
    const wall = Date.UTC(part.year ?? 0, (part.month ?? 1) - 1, part.day, part.hour, part.minute, part.second)
    const offset = wall - Math.floor(atMs / 1000) * 1000
    offsets.set(atMs, offset)
    return offset
  }
}
