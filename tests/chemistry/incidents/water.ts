import type { IncidentFacts, IncidentReading, IncidentWater, Snapshot } from '@sightglass/chemistry'
import { DAY, GOOD, MINUTE, NOW, snapshot, tested } from '../support.ts'

/** The incident of these tests happened a day before now. */
export const INCIDENT_MS = NOW - DAY

/** A test so many minutes after the incident; what is not given is right for the treatment of water with feces. */
export const test = (
  minutes: number,
  freeChlorineMgL: number,
  given: Partial<IncidentReading> = {},
): IncidentReading => ({
  atMs: INCIDENT_MS + minutes * MINUTE,
  freeChlorineMgL,
  ph: 7.4,
  tempC: 27,
  ...given,
})

export const incident = (
  kind: IncidentFacts['kind'],
  readings: IncidentReading[] = [],
  instruction: IncidentFacts['instruction'] = null,
): IncidentFacts => ({ id: 'incident', kind, atMs: INCIDENT_MS, instruction, readings })

/** Chlorinated water in which a test found no cyanuric acid an hour before the incident. */
export const water = (given: Partial<IncidentWater> = {}): IncidentWater => ({
  sanitizerSystem: 'hypochlorite',
  stabilized: false,
  cyanuricAcid: { value: 0, atMs: INCIDENT_MS - 60 * MINUTE },
  ...given,
})
export const stabilized = (mgL: number) =>
  water({ stabilized: true, cyanuricAcid: { value: mgL, atMs: INCIDENT_MS - 60 * MINUTE } })

/** Good water, tested two hours ago, with cyanuric acid tested then, and an incident open. */
export const withIncident = (
  one: IncidentFacts,
  values: Parameters<typeof tested>[0] = {},
  body: Partial<Snapshot['body']> = {},
): Snapshot => snapshot({ tests: tested({ ...GOOD, cyanuricAcidMgL: 0, ...values }), body, incidents: [one] })
