import type { Assessment } from './finding.ts'
import type { CodeProfile } from './profile.ts'
import type { Snapshot } from './snapshot.ts'

export function assess(_snapshot: Snapshot, _profile: CodeProfile, _nowMs: number): Assessment {
  throw new Error('not yet')
}
