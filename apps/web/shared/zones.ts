const NEAR = [
  'America/New_York',
  'America/Chicago',
  'America/Denver',
  'America/Phoenix',
  'America/Los_Angeles',
  'America/Anchorage',
  'Pacific/Honolulu',
  'UTC',
]

/** Zones to choose from: the usual ones first, then every one that this browser knows. */
export function zones(own: string) {
  const all = typeof Intl.supportedValuesOf === 'function' ? Intl.supportedValuesOf('timeZone') : []
  return [...new Set([own, ...NEAR, ...all])]
    .filter(Boolean)
    .map((value) => ({ value, label: value.replaceAll('_', ' ') }))
}
