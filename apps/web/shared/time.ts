const formats = new Map<string, Intl.DateTimeFormat>()

function formatOf(zone: string) {
  const known = formats.get(zone)
  if (known) return known
  const made = new Intl.DateTimeFormat('en-US', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    second: 'numeric',
  })
  formats.set(zone, made)
  return made
}

interface Wall {
  year: number
  month: number
  day: number
  hour: number
  minute: number
  second: number
}

/** What a clock on the wall shows in a zone. Put together from numbers, because browsers and servers space words differently. */
export function wallClock(ms: number, zone: string): Wall {
  const wall = { year: 0, month: 0, day: 0, hour: 0, minute: 0, second: 0 }
  for (const { type, value } of formatOf(zone).formatToParts(ms))
    if (type in wall) wall[type as keyof Wall] = Number(value)
  return wall
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']
const WEEKDAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat']
const two = (number: number) => String(number).padStart(2, '0')

/** `Nov 25, 6:05 am`; with the year when it is not that of `nowMs`. */
export function exactTime(at: string | number, zone: string, nowMs?: number) {
  const ms = typeof at === 'number' ? at : Date.parse(at)
  const wall = wallClock(ms, zone)
  const otherYear = nowMs === undefined || wallClock(nowMs, zone).year !== wall.year
  return `${MONTHS[wall.month - 1]} ${wall.day}${otherYear ? ` ${wall.year}` : ''}, ${timeOfDay(wall)}`
}

const timeOfDay = ({ hour, minute }: Wall) => `${hour % 12 || 12}:${two(minute)} ${hour < 12 ? 'am' : 'pm'}`

export const clockTime = (at: string | number, zone: string) => timeOfDay(wallClock(new Date(at).getTime(), zone))

/** `Nov 25` */
export function dayName(at: string | number, zone: string) {
  const { month, day } = wallClock(new Date(at).getTime(), zone)
  return `${MONTHS[month - 1]} ${day}`
}

export function weekday(ms: number, zone: string) {
  const { year, month, day } = wallClock(ms, zone)
  return WEEKDAYS[new Date(Date.UTC(year, month - 1, day)).getUTCDay()] ?? ''
}

const MINUTE = 60_000
const HOUR = 60 * MINUTE
const DAY = 24 * HOUR

/** `just now`, `12 min ago`, `5 h ago`, `3 days ago`; times ahead of the clock say so. */
export function ago(at: string | number, nowMs: number) {
  const past = nowMs - (typeof at === 'number' ? at : Date.parse(at))
  if (past < -5 * MINUTE) return 'in the future'
  if (past < 1.5 * MINUTE) return 'just now'
  return `${span(past)} ago`
}

/** A length of time in its largest sensible unit: `12 min`, `5 h`, `3 days`. */
export function span(ms: number) {
  if (ms < HOUR) return `${Math.max(1, Math.round(ms / MINUTE))} min`
  if (ms < 2 * DAY) return `${Math.round(ms / HOUR)} h`
  return `${Math.round(ms / DAY)} days`
}

/** The value of a datetime-local input: `2026-11-25T06:05` on the zone's clock. */
export function localInput(ms: number, zone: string) {
  const { year, month, day, hour, minute } = wallClock(ms, zone)
  return `${year}-${two(month)}-${two(day)}T${two(hour)}:${two(minute)}`
}

/** The instant of a zone's clock time, null when it is not a time or the clock skips it; the first of two when it shows twice. */
export function fromLocalInput(text: string, zone: string): number | null {
  const match = /^(\d{4})-(\d{2})-(\d{2})T(\d{2}):(\d{2})(?::\d{2})?$/.exec(text)
  if (!match) return null
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0] = match.slice(1).map(Number)
  const asUtc = Date.UTC(year, month - 1, day, hour, minute)
  const offsets = [asUtc - DAY, asUtc + DAY].map((ms) => offsetMs(ms, zone))
  const fits = offsets.map((offset) => asUtc - offset).filter((ms) => localInput(ms, zone) === text.slice(0, 16))
  return fits.length ? Math.min(...fits) : null
}

function offsetMs(ms: number, zone: string) {
  const { year, month, day, hour, minute, second } = wallClock(ms, zone)
  return Date.UTC(year, month - 1, day, hour, minute, second) - Math.floor(ms / 1000) * 1000
}

/** The last midnights of a zone within a span, oldest first. */
export function midnights(fromMs: number, toMs: number, zone: string): number[] {
  const found: number[] = []
  for (let ms = fromMs; ms <= toMs + DAY; ms += DAY) {
    const midnight = fromLocalInput(`${localInput(ms, zone).slice(0, 10)}T00:00`, zone)
    if (midnight !== null && midnight >= fromMs && midnight <= toMs && found.at(-1) !== midnight) found.push(midnight)
  }
  return found
}

// A clock may run a little ahead of the server's.
const AHEAD_MS = 5 * 60_000

export const NO_SUCH_TIME = 'is not a time that the facility’s clock shows'

/** What is wrong with the time of something that has happened, as it was typed; null when it can be meant. */
export function timeTrouble(atMs: number | null, nowMs: number): string | null {
  if (atMs === null) return NO_SUCH_TIME
  return atMs > nowMs + AHEAD_MS ? 'lies in the future' : null
}
