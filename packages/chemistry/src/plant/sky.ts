import type { LocalTime } from './clock.ts'
import type { Random } from './random.ts'
import type { BatherSpec } from './spec.ts'

const RADIANS = Math.PI / 180

/** Sine of the sun's height, 0 at night. Declination by the usual cosine of the year; wall clock taken as sun time, daylight saving aside. */
export function sunHeight(latitudeDeg: number, { hour, dayOfYear }: LocalTime): number {
  const declination = -23.44 * RADIANS * Math.cos(((dayOfYear + 10) / 365) * 2 * Math.PI)
  const latitude = latitudeDeg * RADIANS
  const angle = (hour - 12.5) * 15 * RADIANS
  const sine = Math.sin(latitude) * Math.sin(declination) + Math.cos(latitude) * Math.cos(declination) * Math.cos(angle)
  return Math.max(sine, 0)
}

/** The weather of one day: how much of the sun comes through, and how far the air is from the season's mean. */
export interface Weather {
  clear: number
  airC: number
}

/** Each day leans on the one before. Mean air by latitude and season: mild southern places, from memory. */
export function nextWeather(before: Weather | null, latitudeDeg: number, dayOfYear: number, random: Random): Weather {
  const season = 24 - (latitudeDeg - 27) * 0.7 + 9 * Math.cos(((dayOfYear - 205) / 365) * 2 * Math.PI)
  const clear = Math.min(1, Math.max(0.25, 0.4 * (before?.clear ?? 0.8) + 0.6 * (0.8 + 0.25 * random.normal())))
  const airC = season + 0.6 * ((before?.airC ?? season) - season) + 2 * random.normal()
  return { clear, airC }
}

/** Bathers in the water now: a hump over the opening hours, more at weekends. */
export function bathersNow(spec: BatherSpec, { hour, weekday }: LocalTime): number {
  if (hour < spec.opensAt || hour >= spec.closesAt) return 0
  const hump = Math.sin((Math.PI * (hour - spec.opensAt)) / (spec.closesAt - spec.opensAt))
  const weekend = weekday === 0 || weekday === 6 ? spec.weekendFactor : 1
  return spec.peak * weekend * (0.25 + 0.75 * hump)
}
