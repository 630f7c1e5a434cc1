import type { ProbeWork, ProbeWorkKind, RedoxRecord } from './types.ts'

/**
 * By how much each kind of work may change what the ORP of the same water is, standard deviation in mV. Ten new probes in one
 * water parted by 5 mV at first and 2 mV by the next day (Steininger and Pareja 1996); how an old one had drifted nobody knows.
 * The rest is judgement; common practice, no source.
 */
export const ORP_MAY_STEP_MV: Record<ProbeWorkKind, number> = {
  orpProbeReplaced: 30,
  controllerSwapped: 15,
  orpProbeCleaned: 1.5,
  flowCellServiced: 1.5,
  waterReplaced: 1.5,
  stabilizerAdded: 0,
  // the flow cell was opened and the probes hung dry
  phProbeReplaced: 1,
  phProbeCleaned: 1,
  phCalibrated: 1,
}

/** After these the pH probe shows what it was told to: what it showed before says nothing of it. */
export const PH_STARTS_ANEW: readonly ProbeWorkKind[] = ['phCalibrated', 'phProbeReplaced', 'controllerSwapped']

/** In the order of how much they may explain. */
export const workBetween = (work: readonly ProbeWork[], fromMs: number, beforeMs: number): ProbeWork[] =>
  work
    .filter(({ atMs }) => atMs >= fromMs && atMs < beforeMs)
    .sort((a, b) => ORP_MAY_STEP_MV[b.kind] - ORP_MAY_STEP_MV[a.kind])

/** After these the cyanuric acid is another one. */
export const WATER_WORK: readonly ProbeWorkKind[] = ['waterReplaced', 'stabilizerAdded']

/** The work on the water that no test of cyanuric acid has followed yet; null where there is none. A test of the same visit came before. */
export function cyanuricUnknown({ work, pairs }: RedoxRecord, nowMs: number): ProbeWork | null {
  const changed = work.findLast(({ kind, atMs }) => WATER_WORK.includes(kind) && atMs <= nowMs)
  const tested = pairs.findLast(({ atMs }) => atMs <= nowMs)?.test.cyanuricAcidMgL
  return changed && tested && changed.atMs >= tested.atMs ? changed : null
}
