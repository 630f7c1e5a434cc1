import type { Reading } from '@sightglass/contract'
import type { ReadingRow } from './queries.ts'

export const showReading = ({ at, replacedAt, createdAt, ...reading }: ReadingRow): Reading => ({
  ...reading,
  at: at.toISOString(),
  replacedAt: replacedAt?.toISOString() ?? null,
  createdAt: createdAt.toISOString(),
})
