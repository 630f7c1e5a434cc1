// A body as the chemistry knows it, for the screens that reckon with it.
import {
  assess,
  type BodyFacts,
  type CodeProfile,
  isOfEquipment,
  type Parameter,
  profileByKey,
  type Snapshot,
} from '@sightglass/chemistry'
import type { Known } from '../../apps/web/shared/known.ts'

export const ZONE = 'America/Chicago'
export const NOW = Date.parse('2026-11-25T12:00:00Z')
export const MINUTE = 60_000
export const HOUR = 60 * MINUTE

/** Water in which nothing is wrong by the default profile, in an indoor pool without cyanuric acid. */
export const GOOD: Partial<Record<Parameter, number>> = {
  freeChlorineMgL: 2.5,
  totalChlorineMgL: 2.6,
  ph: 7.4,
  totalAlkalinityMgL: 100,
  calciumHardnessMgL: 300,
  tempC: 27,
  tdsMgL: 900,
}

const POOL: BodyFacts = {
  useClass: 'pool',
  setting: 'indoor',
  sanitizerSystem: 'hypochlorite',
  cyanuricAcidUsed: false,
  volumeL: 400_000,
  flowLMin: 1600,
}

/** A body with these tests of an hour ago; a value of undefined was never tested. */
export function known(
  values: Partial<Record<Parameter, number | undefined>> = {},
  { body = {}, ...part }: Partial<Omit<Snapshot, 'body'>> & { body?: Partial<BodyFacts> } = {},
  hoursAgo = 1,
): Known {
  const atMs = NOW - hoursAgo * HOUR
  const measured = Object.entries({ ...GOOD, ...values }).filter(([, value]) => value !== undefined)
  const profile = profileByKey('cdc-mahc') as CodeProfile
  const tests = Object.fromEntries(measured.map(([parameter, value]) => [parameter, { value: value as number, atMs }]))
  const snapshot: Snapshot = {
    controller: null,
    feeders: [],
    incidents: [],
    outOfUse: null,
    lastTestAtMs: measured.length > 0 ? atMs : null,
    ...part,
    tests,
    body: { ...POOL, ...body },
  }
  // as the server gives it
  const equipment = assess(snapshot, profile, NOW).findings.filter(({ kind }) => isOfEquipment(kind))
  return { snapshot, profile, equipment }
}
