import type { Trouble } from './faults.ts'
import type { ControllerSpec } from './spec.ts'

/** How much of this cycle each feeder may run, decided at its start from what the probes show. */
export interface Orders {
  sanitizer: number
  backup: number
  ph: number
}

export const NO_ORDERS: Orders = { sanitizer: 0, backup: 0, ph: 0 }

const share = (distance: number, band: number) => (distance <= 0 ? 0 : distance >= band ? 1 : distance / band)

/** Feeds in proportion to the distance from the set point; the rest of the cycle is the wait. */
export function decide(controller: ControllerSpec, orpSetPointMv: number, shownOrpMv: number, shownPh: number): Orders {
  return {
    sanitizer: share(orpSetPointMv - shownOrpMv, controller.orpBandMv),
    backup:
      controller.backupBelowMv === null
        ? 0
        : share(orpSetPointMv - controller.backupBelowMv - shownOrpMv, controller.orpBandMv),
    ph: share(shownPh - controller.phSetPoint, controller.phBand),
  }
}

/** The part of minute `minute` of the cycle that a pump runs in its half: `half` 0 sanitizer, 1 pH. */
export function onShare(
  controller: ControllerSpec,
  order: number,
  half: 0 | 1,
  minute: number,
  trouble: Trouble,
): number {
  const halfMin = controller.cycleMin / 2
  const begins = half === 0 || trouble.turnsNotKept ? 0 : halfMin
  const left = order * controller.onShare * halfMin - (minute - begins)
  return minute < begins ? 0 : Math.max(0, Math.min(1, left))
}
