import type { EvidenceLine } from '../finding.ts'
import { shown } from '../findings/make.ts'
import type { DrumFacts } from '../snapshot.ts'

/** The newest level that was read in a drum, as evidence. */
export function drumLine(drum: DrumFacts | null | undefined): EvidenceLine[] {
  const level = drum?.levels[drum.levels.length - 1]
  return drum && level ? [shown(`Level in ${drum.name}`, level.levelL, 'L', level.atMs, 'test')] : []
}
