import type { FeedSettings } from '../snapshot.ts'
import type { FeederRole } from '../vocabulary.ts'

/** As they are typed into a controller: nothing that a reader's units change. */
export const settingsWords = ({ onTimeMin, waitMin, band }: FeedSettings, role: FeederRole): string =>
  `on-time ${minutesWords(onTimeMin)}, wait ${minutesWords(waitMin)}, proportional band ${distanceWords(band, role)}`

/** In hundredths of pH: a tenth is all of a band. */
export const distanceWords = (distance: number, role: FeederRole): string =>
  role === 'ph' ? `${distance.toFixed(2)} pH` : `${Math.round(distance)} mV`

/** In seconds where a minute more or less is much. */
export function minutesWords(minutes: number): string {
  const seconds = Math.round((minutes * 60) / 5) * 5
  if (minutes >= 10 || seconds % 60 === 0) return `${Math.round(minutes)} min`
  if (seconds < 60) return `${Math.round(minutes * 60)} s`
  return `${Math.floor(seconds / 60)} min ${seconds % 60} s`
}
