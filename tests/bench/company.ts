// A large invented company, written by SQL: what a bench needs to stand there before it measures the API.
import type { Pool } from 'pg'

export interface Size {
  facilities: number
  bodies: number
  /** Days of hourly roll-up; the newest hour has its raw samples too. */
  days: number
}
export const LARGE: Size = { facilities: 3000, bodies: 8000, days: 7 }

/** Fills the plant, two tests a day, drums with levels, a controller for nine bodies of ten, and standings that are due. */
export async function fillCompany(pool: Pool, { facilities, bodies, days }: Size, now: Date) {
  await pool.query(`SELECT ensure_sample_partitions($1::timestamptz - interval '1 day', $1)`, [now])
  for (const sql of [
    `INSERT INTO facility (id, name, area, time_zone, profile_key)
    SELECT ${uuid(1, 'i')}, 'Facility ' || i, 'Area ' || i % 12, 'America/Chicago', 'cdc-mahc'
    FROM generate_series(1, ${facilities}) i`,
    `INSERT INTO equipment_room (id, facility_id, name) SELECT ${uuid(2, 'i')}, ${uuid(1, 'i')}, 'Basement'
    FROM generate_series(1, ${facilities}) i`,
    `INSERT INTO body (id, facility_id, equipment_room_id, name, use_class, setting, sanitizer_system,
      cyanuric_acid_used, volume_l, flow_l_min)
    SELECT ${uuid(3, 'i')}, ${uuid(1, facilityOf(facilities))}, ${uuid(2, facilityOf(facilities))}, 'Body ' || i,
      (ARRAY['pool', 'pool', 'pool', 'spa', 'wading'])[1 + i % 5], (ARRAY['indoor', 'outdoor'])[1 + i % 2],
      (ARRAY['hypochlorite', 'hypochlorite', 'erosion', 'saltGenerator', 'bromine', 'hypochlorite', 'hypochlorite'])[1 + i % 7],
      i % 2 = 1 AND i % 7 <> 4, 50000 + 37 * (i % 9000), 600 + i % 900
    FROM generate_series(1, ${bodies}) i`,
    `INSERT INTO controller (id, equipment_room_id, name) SELECT ${uuid(4, 'i')}, ${uuid(2, 'i')}, 'Controller'
    FROM generate_series(1, ${facilities}) i`,
    `INSERT INTO channel (id, controller_id, body_id, quantity)
    SELECT ${uuid(5, 'i * 10 + q.place')}, ${uuid(4, facilityOf(facilities))}, ${uuid(3, 'i')}, q.quantity
    FROM generate_series(1, ${bodies}) i,
      unnest(ARRAY['ph', 'orpMv', 'flowOn', 'sanitizerFeedPct', 'phFeedPct']) WITH ORDINALITY q (quantity, place)
    WHERE ${hasController('i')}`,
    `INSERT INTO drum (id, equipment_room_id, name, content, capacity_l)
    SELECT ${uuid(6, 'i')}, ${uuid(2, facilityOf(facilities))}, 'Drum ' || i, 'sodiumHypochlorite', 200
    FROM generate_series(1, ${bodies}) i`,
    `INSERT INTO feeder (id, body_id, drum_id, name, role, kind)
    SELECT ${uuid(7, 'i')}, ${uuid(3, 'i')}, ${uuid(6, 'i')}, 'Chlorine pump', 'primary', 'pump'
    FROM generate_series(1, ${bodies}) i`,
    `INSERT INTO drum_level (id, drum_id, at, level_l, delivered_l, person)
    SELECT gen_random_uuid(), ${uuid(6, 'i')}, ${at(now)} - d * interval '3 days', 40 + 15 * d, 0, 'Bench'
    FROM generate_series(1, ${bodies}) i, generate_series(0, 9) d`,
    `INSERT INTO reading (body_id, id, at, person, method, free_chlorine_mg_l, total_chlorine_mg_l, bromine_mg_l, ph,
      total_alkalinity_mg_l, calcium_hardness_mg_l, cyanuric_acid_mg_l, temp_c)
    SELECT ${uuid(3, 'i')}, gen_random_uuid(), ${at(now)} - (i % 90) * interval '10 minutes' - t * interval '12 hours',
      'Bench', 'photometer', 0.5 + (i % 50) / 10.0, 0.7 + (i % 50) / 10.0, CASE WHEN i % 7 = 4 THEN 3 + i % 4 END,
      7 + (i % 11) / 10.0, CASE WHEN t % 14 = 0 THEN 60 + i % 90 END, CASE WHEN t % 28 = 0 THEN 150 + i % 300 END,
      CASE WHEN t % 28 = 0 THEN i % 80 END, 26 + i % 12
    FROM generate_series(1, ${bodies}) i, generate_series(0, 59) t`,
    `INSERT INTO sample_hour (body_id, hour, samples, covered_min, ph_min, ph_mean, ph_max, orp_mv_min, orp_mv_mean,
      orp_mv_max, ph_set_point, orp_set_point_mv, sanitizer_feed_min, ph_feed_min, no_flow_min, feed_without_flow_min,
      both_feeds_min, sanitizer_samples, ph_samples, both_samples)
    SELECT ${uuid(3, 'i')}, date_trunc('hour', ${at(now)}) - h * interval '1 hour', 12, 60,
      7.3 + (i % 9) / 20.0, 7.4 + (i % 9) / 20.0, 7.5 + (i % 9) / 20.0, 640 + i % 120, 660 + i % 120, 680 + i % 120,
      7.4, 700, 10 + i % 40, 5, CASE WHEN i % 97 = 0 THEN 20 ELSE 0 END, CASE WHEN i % 97 = 0 THEN 5 ELSE 0 END, 0, 12, 12, 12
    FROM generate_series(1, ${bodies}) i, generate_series(0, ${24 * days - 1}) h WHERE ${hasController('i')}`,
    `INSERT INTO sample (body_id, at, ph, orp_mv, flow_on, sanitizer_feed_pct, ph_feed_pct)
    SELECT ${uuid(3, 'i')}, s, 7.4 + (i % 9) / 20.0, 660 + i % 120, true, 40, 10
    FROM generate_series(1, ${bodies}) i,
      generate_series(date_trunc('hour', ${at(now)}), ${at(now)}, interval '5 minutes') s WHERE ${hasController('i')}`,
    `INSERT INTO standing (body_id, severity, severity_rank, due_at)
    SELECT id, 'unheard', 2, ${at(now)} FROM body`,
    'ANALYZE',
  ])
    await pool.query(sql)
}

/** A made id: its table and number, so that rows of different tables find each other. */
const uuid = (table: number, number: string) =>
  `('0000000${table}-0000-7000-8000-' || lpad((${number})::text, 12, '0'))::uuid`
const facilityOf = (facilities: number) => `1 + i % ${facilities}`
const hasController = (i: string) => `${i} % 10 <> 0`
const at = (now: Date) => `'${now.toISOString()}'::timestamptz`
