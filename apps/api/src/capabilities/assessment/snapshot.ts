import type { HourRecord, Snapshot, Spread } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'
import {
  HOUR_LAYOUT,
  type HourRow,
  selectBodies,
  selectCombined,
  selectFeeders,
  selectHours,
  selectIncidents,
  selectLatest,
  selectTests,
} from './queries.ts'

export interface BodySnapshot {
  bodyId: string
  profileKey: string
  snapshot: Snapshot
}

/** What is known of these bodies, in a fixed number of queries. Retired bodies are left out. */
export const snapshotsFor = async (client: Queryable, bodyIds: readonly string[], now: Date) =>
  snapshotsWith(hoursByBody(await selectHours(client, bodyIds, now)), client, bodyIds, now)

export async function snapshotsWith(
  hours: ReadonlyMap<string, HourRecord[]>,
  client: Queryable,
  bodyIds: readonly string[],
  now: Date,
): Promise<BodySnapshot[]> {
  const bodies = await selectBodies(client, bodyIds, now)
  const tests = groupedBy(await selectTests(client, bodyIds, now))
  const combined = groupedBy(await selectCombined(client, bodyIds, now))
  const latest = groupedBy(await selectLatest(client, bodyIds))
  const feeders = groupedBy(await selectFeeders(client, bodyIds, now))
  const incidents = groupedBy(await selectIncidents(client, bodyIds, now))
  return bodies.map(({ id, profileKey, fitted, channels, outOfUse, ...body }) => {
    const tested = tests.get(id) ?? []
    const heard = latest.get(id)?.[0]
    return {
      bodyId: id,
      profileKey,
      snapshot: {
        body,
        outOfUse,
        tests: Object.fromEntries(tested.map(({ parameter, value, atMs }) => [parameter, { value, atMs }])),
        combinedChlorine: combined.get(id)?.[0]?.values ?? [],
        lastTestAtMs: tested.length > 0 ? Math.max(...tested.map(({ atMs }) => atMs)) : null,
        controller: fitted
          ? {
              channels,
              lastHeardAtMs: heard?.atMs ?? null,
              latest: heard ? withoutBody(heard) : null,
              hours: hours.get(id) ?? [],
            }
          : null,
        feeders: (feeders.get(id) ?? []).map(withoutBody),
        incidents: (incidents.get(id) ?? []).map(withoutBody),
      },
    }
  })
}

export function groupedBy<Row extends { bodyId: string }>(rows: readonly Row[]): Map<string, Row[]> {
  const groups = new Map<string, Row[]>()
  for (const row of rows) {
    const group = groups.get(row.bodyId)
    if (group) group.push(row)
    else groups.set(row.bodyId, [row])
  }
  return groups
}

export function withoutBody<Row extends { bodyId: string }>({ bodyId: _, ...rest }: Row): Omit<Row, 'bodyId'> {
  return rest
}

function hoursByBody(rows: readonly HourRow[]): Map<string, HourRecord[]> {
  const bodies = new Map<string, HourRecord[]>()
  for (const row of rows) {
    const records = bodies.get(row[0])
    if (records) records.push(hourOf(row))
    else bodies.set(row[0], [hourOf(row)])
  }
  return bodies
}

const { spreadsFrom, singleFrom } = HOUR_LAYOUT

function hourOf(row: HourRow): HourRecord {
  const single = (index: number) => row[singleFrom + index] as number | null
  return {
    hourMs: row[1],
    samples: row[2],
    coveredMin: row[3],
    ph: spreadOf(row, 0),
    orpMv: spreadOf(row, 1),
    freeChlorineMgL: spreadOf(row, 2),
    tempC: spreadOf(row, 3),
    flowLMin: spreadOf(row, 4),
    phSetPoint: single(0),
    orpSetPointMv: single(1),
    sanitizerFeedMin: single(2),
    backupFeedMin: single(3),
    phFeedMin: single(4),
    noFlowMin: single(5),
    feedWithoutFlowMin: single(6),
    bothFeedsMin: single(7),
  }
}

function spreadOf(row: HourRow, index: number): Spread | null {
  const at = spreadsFrom + 3 * index
  const [min, mean, max] = row.slice(at, at + 3) as [number | null, number | null, number | null]
  return min === null || mean === null || max === null ? null : { min, mean, max }
}
