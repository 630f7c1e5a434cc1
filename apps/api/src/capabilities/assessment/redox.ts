import {
  type HourRecord,
  type Measured,
  PROBE_WORK_KINDS,
  type ProbeWork,
  type RedoxPair,
  type RedoxRecord,
  type SetPointChange,
  type Shown,
} from '@sightglass/chemistry'
import type pg from 'pg'
import type { Queryable } from '../../platform/database.ts'
import { byPlace, copyHours, PLACES } from './past.ts'
import { AHEAD_MS, MS } from './queries.ts'

const DAY_MS = 86_400_000
/** Tests that are paired with what was shown, set points and work. */
const PAIRS_DAYS = 90
/** What was not measured then may have been so long before; the chemistry knows what it still says. */
const CARRIED_DAYS = 60
/** Of the roll-up, which tells probe and feed effort. */
const HOURS_DAYS = 36

type Facts = Pick<RedoxRecord, 'oxidant' | 'cyanuricAcidUsed'>

/** What tells the meaning of ORP and pH of these bodies, in a fixed number of queries and in their order. */
export async function redoxRecordsFor(
  client: pg.ClientBase,
  bodies: readonly (Facts & { bodyId: string })[],
  now: Date,
): Promise<RedoxRecord[]> {
  const ids = bodies.map(({ bodyId }) => bodyId)
  const since = new Date(+now - PAIRS_DAYS * DAY_MS)
  const until = new Date(+now + AHEAD_MS)
  const tests = await selectPairTests(client, ids, since, until)
  const work = await selectWork(client, ids, since, until)
  const set = await selectSetPoints(client, ids, since, now)
  const hours = await copyHours(client, ids, new Date(+now - HOURS_DAYS * DAY_MS), now)
  return bodies.map(({ oxidant, cyanuricAcidUsed }, place) => ({
    oxidant,
    cyanuricAcidUsed,
    pairs: pairsOf(tests[place] ?? [], oxidant, +since),
    work: (work[place] ?? []).flatMap(probeWorkOf),
    setPoints: setPointsOf(set[place] ?? [], work[place] ?? []),
    hours: hours[place] ?? ([] as HourRecord[]),
  }))
}

interface TestRow {
  atMs: number
  freeChlorineMgL: number | null
  totalChlorineMgL: number | null
  bromineMgL: number | null
  ph: number | null
  cyanuricAcidMgL: number | null
  tempC: number | null
  tdsMgL: number | null
  displayPh: number | null
  displayOrpMv: number | null
  orp: number[] | null
  shownPh: number[] | null
}

/** The samples around a test in which water flowed: median, least and most. Without switch and meter nobody can tell. */
const AROUND_MIN = 15
const around = (column: string) =>
  `CASE WHEN count(s.${column}) > 0 THEN json_build_array(
    round(percentile_cont(0.5) WITHIN GROUP (ORDER BY s.${column})::numeric, 4),
    round(min(s.${column})::numeric, 4), round(max(s.${column})::numeric, 4)) END`

const SELECT_TESTS = `
SELECT b.place, ${MS('r.at')} AS "atMs", r.free_chlorine_mg_l AS "freeChlorineMgL",
  r.total_chlorine_mg_l AS "totalChlorineMgL", r.bromine_mg_l AS "bromineMgL", r.ph,
  r.cyanuric_acid_mg_l AS "cyanuricAcidMgL", r.temp_c AS "tempC", r.tds_mg_l AS "tdsMgL",
  r.display_ph AS "displayPh", r.display_orp_mv AS "displayOrpMv", a.orp, a."shownPh"
FROM ${PLACES}
JOIN reading r ON r.body_id = b.id AND r.replaced_at IS NULL AND r.at > $2::timestamptz - interval '${CARRIED_DAYS} days' AND r.at <= $3
LEFT JOIN LATERAL (
  SELECT ${around('orp_mv')} AS orp, ${around('ph')} AS "shownPh" FROM sample s
  WHERE s.body_id = b.id AND s.at BETWEEN r.at - interval '${AROUND_MIN} minutes' AND r.at + interval '${AROUND_MIN} minutes'
    AND coalesce(s.flow_on, s.flow_l_min > 0, true)
) a ON r.at > $2 AND (r.display_orp_mv IS NULL OR r.display_ph IS NULL)
ORDER BY b.place, r.at, r.id`

async function selectPairTests(client: Queryable, ids: readonly string[], since: Date, until: Date) {
  const { rows } = await client.query<TestRow & { place: number }>(SELECT_TESTS, [ids, since, until])
  return byPlace<TestRow>(ids.length, rows)
}

const CARRIED = ['ph', 'cyanuricAcidMgL', 'tempC', 'tdsMgL'] as const
type Carried = Record<(typeof CARRIED)[number], Measured | null>

/** Each test with what was shown then; what it did not measure comes from the last test that did. */
function pairsOf(tests: readonly TestRow[], oxidant: RedoxRecord['oxidant'], sinceMs: number): RedoxPair[] {
  let carried: Carried = { ph: null, cyanuricAcidMgL: null, tempC: null, tdsMgL: null }
  return tests.flatMap((test) => {
    const { atMs, freeChlorineMgL, totalChlorineMgL, bromineMgL } = test
    carried = { ...carried }
    for (const key of CARRIED) {
      const value = test[key]
      if (value !== null) carried[key] = { value, atMs }
    }
    if (atMs <= sinceMs) return []
    const both = freeChlorineMgL !== null && totalChlorineMgL !== null
    return [
      {
        atMs,
        test: {
          sanitizerMgL: oxidant === 'bromine' ? bromineMgL : freeChlorineMgL,
          combinedChlorineMgL: both ? Math.max(0, totalChlorineMgL - freeChlorineMgL) : null,
          ...carried,
        },
        orp: shownOf(test.displayOrpMv, test.orp),
        ph: shownOf(test.displayPh, test.shownPh),
      },
    ]
  })
}

function shownOf(display: number | null, samples: number[] | null): Shown | null {
  if (display !== null) return { from: 'display', value: display, spread: null }
  if (!samples) return null
  const [value, min, max] = samples as [number, number, number]
  return { from: 'samples', value, spread: { min, max } }
}

interface WorkRow {
  kind: string
  atMs: number
  slopePct: number | null
  orpSetPointMv: number | null
}

const SELECT_WORK = `
SELECT b.place, w.kind, ${MS('w.at')} AS "atMs", w.slope_pct AS "slopePct", w.orp_set_point_mv AS "orpSetPointMv"
FROM ${PLACES}
JOIN work w ON w.body_id = b.id AND w.replaced_at IS NULL AND w.done AND w.at <= $3
  AND (w.at > $2 OR w.kind = 'orpSetPointMoved')
ORDER BY b.place, w.at, w.id`

async function selectWork(client: Queryable, ids: readonly string[], since: Date, until: Date) {
  const { rows } = await client.query<WorkRow & { place: number }>(SELECT_WORK, [ids, since, until])
  return byPlace<WorkRow>(ids.length, rows)
}

function probeWorkOf({ kind, atMs, slopePct }: WorkRow): ProbeWork[] {
  const known = PROBE_WORK_KINDS.find((one) => one === kind)
  return known ? [{ kind: known, atMs, slopePct }] : []
}

/** A set point as the controller reported it, from the first hour to the last in which it did. */
interface SetRow {
  firstMs: number
  lastMs: number
  orpMv: number
}

// a stretch is a run of hours with one value: its number grows with each change
const SELECT_SET_POINTS = `
SELECT b.place, s.*
FROM ${PLACES} CROSS JOIN LATERAL (
  SELECT ${MS('min(hour)')} AS "firstMs", ${MS('max(hour)')} AS "lastMs", min(mv) AS "orpMv" FROM (
    SELECT hour, mv, count(*) FILTER (WHERE mv IS DISTINCT FROM before) OVER (ORDER BY hour) AS stretch FROM (
      SELECT hour, orp_set_point_mv AS mv, lag(orp_set_point_mv) OVER (ORDER BY hour) AS before FROM sample_hour
      WHERE body_id = b.id AND orp_set_point_mv IS NOT NULL AND hour > $2 AND hour <= $3
    ) h
  ) h GROUP BY stretch
) s ORDER BY b.place, s."firstMs"`

async function selectSetPoints(client: Queryable, ids: readonly string[], since: Date, until: Date) {
  const { rows } = await client.query<SetRow & { place: number }>(SELECT_SET_POINTS, [ids, since, until])
  return byPlace<SetRow>(ids.length, rows)
}

/** What the controller reports counts; what was logged, where it reports nothing or has not reported a whole hour since. Only changes are kept. */
function setPointsOf(reported: readonly SetRow[], work: readonly WorkRow[]): SetPointChange[] {
  const [first, last] = [reported[0]?.firstMs ?? Infinity, reported.at(-1)?.lastMs ?? -Infinity]
  const logged = work.flatMap(({ atMs, orpSetPointMv }) =>
    orpSetPointMv !== null && (atMs < first || atMs >= last) ? [{ atMs, orpMv: orpSetPointMv }] : [],
  )
  const all = [...reported.map(({ firstMs, orpMv }) => ({ atMs: firstMs, orpMv })), ...logged]
  return all.sort((a, b) => a.atMs - b.atMs).filter(({ orpMv }, at) => at === 0 || all[at - 1]?.orpMv !== orpMv)
}
