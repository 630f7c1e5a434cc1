import type { Detection, ImportDetail, ImportRecord, Plant } from '@sightglass/contract'
import { bytes, percent, whole } from '../../shared/numbers.ts'
import { exactTime } from '../../shared/time.ts'

export const STATE_WORDS: Record<ImportRecord['state'], string> = {
  uploaded: 'Waiting to be matched',
  checking: 'Checking',
  checked: 'Checked, not imported yet',
  running: 'Importing',
  done: 'Imported',
  failed: 'Failed',
}

/** Tells apart two detections of one file. */
export const writtenAs = ({ encoding, delimiter, headerLine }: Detection) =>
  JSON.stringify([encoding, delimiter, headerLine])

export const isWorking = (state: ImportRecord['state']) => state === 'checking' || state === 'running'

export function progressWords({ state, progress, bytes: size }: ImportRecord) {
  return `${state === 'checking' ? 'Reading the whole file' : 'Importing'}: ${percent(progress)} of ${bytes(size)}`
}

export function prepareListed(record: ImportRecord, zone: string, nowMs: number) {
  return {
    id: record.id,
    fileName: record.fileName,
    facilityId: record.facilityId,
    facilityName: record.facilityName,
    when: exactTime(record.createdAt, zone, nowMs),
    person: record.person,
    size: bytes(record.bytes),
    state: isWorking(record.state)
      ? `${STATE_WORDS[record.state]}, ${percent(record.progress)}`
      : STATE_WORDS[record.state],
    stored: record.state === 'done' && record.counts ? whole(record.counts.stored) : '',
    rejected: record.counts ? whole(record.counts.rejected) : '',
  }
}

export interface CountModel {
  lines: { words: string; number: string; meaning: string }[]
  bodies: { bodyId: string; name: string; samples: string; span: string }[]
}

/** What a check or an import found, in words; before the import as what would come. */
export function prepareCounts({ counts, state }: ImportDetail, plant: Plant, nowMs: number): CountModel | null {
  if (!counts) return null
  const done = state === 'done'
  const zone = plant.facility.timeZone
  const nameOf = new Map(plant.bodies.map(({ id, name }) => [id, name]))
  return {
    lines: [
      { words: 'Rows read', number: whole(counts.rows), meaning: '' },
      { words: done ? 'Samples stored' : 'Samples that are new', number: whole(counts.stored), meaning: '' },
      { words: 'Already there, the same', number: whole(counts.same), meaning: 'nothing changes' },
      { words: 'Already there, different', number: whole(counts.differing), meaning: 'what was stored first is kept' },
      { words: 'Rows left out', number: whole(counts.rejected), meaning: 'each with its line and reason' },
    ],
    bodies: counts.bodies.map(({ bodyId, samples, fromAt, toAt }) => ({
      bodyId,
      name: nameOf.get(bodyId) ?? 'A body of another facility',
      samples: whole(samples),
      span: `${exactTime(fromAt, zone, nowMs)} to ${exactTime(toAt, zone, nowMs)}`,
    })),
  }
}
