import { QUANTITIES, type Quantity } from '@sightglass/chemistry'
import { simulate, zoneOffset } from '@sightglass/chemistry/plant'
import type { Company } from '../company/index.ts'

/** One sample as an example file shows it. */
export interface Row {
  atMs: number
  values: Record<Quantity, number>
}

/** All samples of a body by name; the files are cut out of them. */
export function rowsOf(company: Company, facilityName: string, bodyName: string): Row[] {
  const facility = company.facilities.find(({ name }) => name === facilityName)
  const body = facility?.bodies.find(({ name }) => name === bodyName)
  if (!body) throw new Error(`There is no ${bodyName} at ${facilityName} in the demo company.`)
  const rows: Row[] = []
  const { fromMs, nowMs: toMs } = company
  const { seed, faults, tests, visits } = body
  for (const stretch of simulate(body.plant, { seed, fromMs, toMs, faults, tests, visits })) {
    for (let at = 0; at < stretch.count; at++) {
      const values = Object.fromEntries(
        QUANTITIES.map((quantity) => [quantity, stretch.columns[quantity][at] as number]),
      )
      rows.push({ atMs: stretch.atMs[at] as number, values: values as Record<Quantity, number> })
    }
  }
  return rows
}

/** The wall clock of a zone, ready to be written in any order. */
export interface Wall {
  year: string
  month: string
  day: string
  hour: string
  minute: string
  /** 12-hour clock. */
  hour12: string
  half: 'AM' | 'PM'
  /** As +hh:mm or -hh:mm. */
  offset: string
}

export function wallClock(timeZone: string): (atMs: number) => Wall {
  const offsetOf = zoneOffset(timeZone)
  const two = (value: number) => String(value).padStart(2, '0')
  return (atMs) => {
    const offsetMin = offsetOf(Math.floor(atMs / 3_600_000) * 3_600_000) / 60_000
    const local = new Date(atMs + offsetMin * 60_000)
    const hour = local.getUTCHours()
    const ahead = Math.abs(offsetMin)
    return {
      year: String(local.getUTCFullYear()),
      month: two(local.getUTCMonth() + 1),
      day: two(local.getUTCDate()),
      hour: two(hour),
      minute: two(local.getUTCMinutes()),
      hour12: String(hour % 12 || 12),
      half: hour < 12 ? 'AM' : 'PM',
      offset: `${offsetMin < 0 ? '-' : '+'}${two(Math.floor(ahead / 60))}:${two(ahead % 60)}`,
    }
  }
}
