import type { Phrase } from '../finding.ts'
import type { Facts } from '../findings/facts.ts'
import { say } from '../findings/make.ts'
import { setPointAimFor } from '../findings/setPointAim.ts'
import { runTimeOf } from '../supply/use.ts'
import { DAY_MS } from '../time.ts'
import { feederOf, historyFor } from './record.ts'
import { type FeedTuning, feedTuning } from './tuning.ts'
import { tuningCaseOf, waterOf } from './tuningCase.ts'
import { settingsWords } from './tuningWords.ts'

/** What feed tuning advises for a feeder; null where rate, strength, volume, flow, target or a test are not known. */
export function tuningFor(facts: Facts, role: 'primary' | 'ph'): FeedTuning | null {
  const { snapshot, profile, nowMs } = facts
  const feeder = feederOf(facts, role)
  const { water } = waterOf(snapshot)
  const targetMgL = setPointAimFor(snapshot, profile)?.targetMgL ?? null
  if (!feeder || !water || targetMgL === null) return null
  const week = runTimeOf(historyFor(facts), role)(nowMs - 7 * DAY_MS, nowMs)
  const { redox } = snapshot
  const slopeMv = redox?.correlation === 'usable' ? redox.slopeMv.value : null
  return feedTuning(
    tuningCaseOf(snapshot, feeder, { water, targetMgL, minPerDay: week === null ? null : week / 7, slopeMv }),
  )
}

/** How to set the controller, beside how it is set where that is known. */
export function settingsAdvice(facts: Facts, role: 'primary' | 'ph'): Phrase[] {
  const tuning = tuningFor(facts, role)
  const today = feederOf(facts, role)?.settings ?? null
  if (!tuning) {
    return [
      say(
        'With volume, flow, what the feeder delivers and how strong its product is, feed tuning gives on-time, wait and band for this body.',
      ),
    ]
  }
  if (tuning.verdict === 'tooLarge') {
    return [
      say('The feeder is too large for this body: turn its stroke down, or fit a smaller tube, before its times.'),
    ]
  }
  const instead = today ? ` Now: ${settingsWords(today, role)}.` : ''
  return [say(`Feed tuning for this body: ${settingsWords(tuning, role)}.${instead}`)]
}
