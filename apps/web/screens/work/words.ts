import { WORK_KINDS, type Work, type WorkKind } from '@sightglass/contract'
import { plainNumber } from '../../shared/numbers.ts'
import { exactTime } from '../../shared/time.ts'

export const WORK_WORDS: Record<WorkKind, string> = {
  orpProbeReplaced: 'ORP probe replaced',
  orpProbeCleaned: 'ORP probe cleaned',
  controllerSwapped: 'Controller swapped',
  flowCellServiced: 'Flow cell serviced',
  waterReplaced: 'Water replaced',
  stabilizerAdded: 'Stabilizer (cyanuric acid) added',
  phProbeReplaced: 'pH probe replaced',
  phProbeCleaned: 'pH probe cleaned',
  phCalibrated: 'pH probe calibrated',
  feederServiced: 'Feeder serviced',
  controllerSet: 'Feed settings changed',
  strainerCleaned: 'Strainer cleaned',
  flowSwitchServiced: 'Flow switch serviced',
  orpSetPointMoved: 'ORP set point moved',
  phSetPointMoved: 'pH set point moved',
}

/** In the order in which a technician goes round. */
export const WORK_GROUPS: readonly { title: string; kinds: readonly WorkKind[] }[] = [
  { title: 'ORP', kinds: ['orpProbeCleaned', 'orpProbeReplaced', 'orpSetPointMoved'] },
  { title: 'pH', kinds: ['phCalibrated', 'phProbeCleaned', 'phProbeReplaced', 'phSetPointMoved'] },
  { title: 'Feed and flow', kinds: ['feederServiced', 'controllerSet', 'strainerCleaned', 'flowSwitchServiced'] },
  {
    title: 'Controller and water',
    kinds: ['flowCellServiced', 'controllerSwapped', 'waterReplaced', 'stabilizerAdded'],
  },
]

export const WORK_OPTIONS = WORK_KINDS.map((kind) => ({ value: kind, label: WORK_WORDS[kind] }))

/** What was done, with what belongs to it: `ORP set point moved to 710 mV`. */
export function workText({ kind, orpSetPointMv, phSetPoint, slopePct, feederName }: Work): string {
  const more = [
    orpSetPointMv !== null && ` to ${plainNumber(orpSetPointMv, 0)} mV`,
    phSetPoint !== null && ` to ${plainNumber(phSetPoint, 2)}`,
    slopePct !== null && `, slope ${plainNumber(slopePct, 1)} %`,
    feederName !== null && `: ${feederName}`,
  ]
  return `${WORK_WORDS[kind]}${more.filter(Boolean).join('')}`
}

export interface WorkLine {
  id: string
  at: string
  what: string
  who: string
  note: string
  corrected: string
  correctHref: string
}

export const workLine = (work: Work, zone: string, nowMs: number): WorkLine => ({
  id: work.id,
  at: exactTime(work.at, zone, nowMs),
  what: workText(work),
  who: work.person,
  note: work.note,
  corrected: work.reason ? `Corrected: ${work.reason}` : '',
  correctHref: `/bodies/${work.bodyId}/work/${work.id}/correct`,
})

/** One version in a line. */
export function versionText(work: Work, zone: string, nowMs: number): string {
  const replaced = work.replacedAt ? `, replaced ${exactTime(work.replacedAt, zone, nowMs)}` : ''
  const why = work.reason ? `; ${work.reason}` : ''
  return `${work.person}; entered ${exactTime(work.createdAt, zone, nowMs)}${replaced}${why}`
}
