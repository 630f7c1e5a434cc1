import type { Snapshot } from '@sightglass/chemistry'

export const daysLeft = (_snapshot: Snapshot, _now: Date): number | null => null
