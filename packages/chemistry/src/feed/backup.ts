import type { Finding } from '../finding.ts'
import type { Facts } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import type { HourRecord } from '../snapshot.ts'
import { toBring, toldCauses } from './causes.ts'
import { drumLine } from './drumLine.ts'
import { effortChange } from './effort.ts'
import { meanOver } from './history.ts'
import { feederOf, hasPast, historyFor } from './record.ts'
import { feedShare, flowing, meanOf, type Run, runOf, shareOf } from './run.ts'
import { causesOf } from './weak.ts'

// the primary feeder leaves the work to its backup: common practice, no source
const BACKUP_HOURS = 6
const BACKUP_SHARE = 0.15
const BACKUP_ORP_APART_MV = 5
/** Minutes a day that a backup runs more than it used to, before that is worth a word. */
const MORE_MIN = 30

/** The backup feeder does what the primary should: told by hours on end, or by how much more it runs than in the weeks before. */
export function backupCarries(facts: Facts): Finding[] {
  if (!feederOf(facts, 'backup')) return []
  const run = runOf(facts, (hour) => carried(facts, hour), BACKUP_HOURS)
  if (run) return [backupFinding(facts, run.oldest.hourMs, run, null)]
  const more = runsMore(facts)
  return more ? [backupFinding(facts, more.sinceMs, null, more)] : []
}

function carried(facts: Facts, hour: HourRecord): boolean {
  const setPoint = hour.orpSetPointMv ?? facts.latest?.orpSetPointMv ?? null
  return (
    hour.orpMv !== null &&
    setPoint !== null &&
    flowing(facts, hour) &&
    hour.orpMv.mean < setPoint - BACKUP_ORP_APART_MV &&
    (shareOf(hour.backupFeedMin, hour) ?? 0) >= BACKUP_SHARE
  )
}

interface RunsMore {
  sinceMs: number
  usualMinPerDay: number
  nowMinPerDay: number
}

function runsMore(facts: Facts): RunsMore | null {
  const history = historyFor(facts)
  if (!hasPast(history) || !history.reports.backup) return null
  const backup = history.feed.backup
  const { count } = history
  const now = meanOver(backup, count - 24, count) * 24
  // what a backup does on its busiest day of the weeks before is its habit
  let usual = 0
  for (let day = 2; day <= 15 && count - day * 24 >= 0; day++) {
    const then = meanOver(backup, count - (day + 1) * 24, count - day * 24) * 24
    if (then > usual) usual = then
  }
  const change = effortChange(history, backup, true)
  if (change && now > change.usualMinPerDay + MORE_MIN) return change
  if (!(now > 2.5 * usual + MORE_MIN)) return null
  return { sinceMs: history.fromMs + (count - 24) * 3_600_000, usualMinPerDay: usual, nowMinPerDay: now }
}

function backupFinding(facts: Facts, sinceMs: number, run: Run | null, more: RunsMore | null): Finding {
  const primary = feederOf(facts, 'primary')
  const weak = {
    role: 'primary' as const,
    feeder: primary,
    change: null,
    wear: null,
    hindered: null,
    tests: null,
    nothing: false,
    apart: Number.NaN,
  }
  const causes = causesOf(facts, weak).filter(({ cause }) => cause !== 'probeReadsLow')
  const hours = run?.hours ?? facts.hours.slice(-6)
  const mean = meanOf(hours, ({ orpMv }) => orpMv)
  const newest = hours[hours.length - 1]
  const setPoint = newest?.orpSetPointMv ?? facts.latest?.orpSetPointMv ?? 0
  const atMs = newest?.hourMs ?? facts.nowMs
  return finding({
    kind: 'backupCarries',
    severity: run ? 'act' : 'watch',
    sentence: run
      ? say(
          'For {2} the backup feeder has carried the load, {3} of the time, with ORP at {0} below its set point of {1}: the primary sanitizer does not hold it.',
          quantified(mean, 'mV'),
          quantified(setPoint, 'mV'),
          quantified(run.hours.length, 'h'),
          quantified(feedShare(run, (hour) => hour.backupFeedMin) * 100, '%'),
        )
      : say(
          'The backup feeder ran {0} in the last day instead of {1}: the primary sanitizer does less than it did.',
          quantified(more?.nowMinPerDay ?? 0, 'min'),
          quantified(more?.usualMinPerDay ?? 0, 'min'),
        ),
    value: quantified(mean, 'mV'),
    sinceMs,
    evidence: [
      shown('ORP, mean', mean, 'mV', atMs, 'controller'),
      shown('ORP set point', setPoint, 'mV', atMs, 'controller'),
      ...(run
        ? [shown('Backup feed', feedShare(run, (hour) => hour.backupFeedMin) * 100, '%', atMs, 'controller')]
        : []),
      ...drumLine(feederOf(facts, 'backup')?.drum),
    ],
    causes,
    bring: toBring(causes),
    advice: [
      ...toldCauses(causes),
      say('See how long the backup’s drum lasts at this rate: when it is empty, nothing holds the sanitizer.'),
    ],
    cautions: ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'retestBeforeBathers'],
  })
}
