import { joinStretches, type MergedStretch, mergeStretch, type SampleStretch } from './stretch.ts'

/** Samples that are written at once: a few megabytes. */
const CHUNK_SAMPLES = 16_000

/** Gathers stretches to chunks in which each body stands once, in order of time, without repetitions. */
export async function* chunksOf(
  stretches: Iterable<SampleStretch> | AsyncIterable<SampleStretch>,
): AsyncGenerator<MergedStretch[]> {
  let waiting = new Map<string, SampleStretch[]>()
  let size = 0
  for await (const stretch of stretches) {
    if (stretch.count === 0) continue
    const parts = waiting.get(stretch.bodyId)
    if (parts) parts.push(stretch)
    else waiting.set(stretch.bodyId, [stretch])
    size += stretch.count
    if (size < CHUNK_SAMPLES) continue
    yield mergeAll(waiting)
    waiting = new Map()
    size = 0
  }
  if (size > 0) yield mergeAll(waiting)
}

const mergeAll = (waiting: Map<string, SampleStretch[]>) =>
  [...waiting.values()].map((parts) => mergeStretch(joinStretches(parts)))
