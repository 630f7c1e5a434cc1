import type { Body, Facility, ImportRecord, Overview } from '@sightglass/contract'
import type { Queryable } from '../../platform/database.ts'

interface PageRow {
  body: Body
  facility: Facility
  standing: Overview['standing']
  outOfUse: Overview['outOfUse']
  assessedAt: Date | null
  heardAt: Date | null
  view: Overview['view']
  channels: Overview['channels']
  imports: Pick<ImportRecord, 'id' | 'fileName' | 'state' | 'counts' | 'createdAt' | 'person'>[]
}

// one row, whatever hangs on the body
const SELECT_PAGE = `
SELECT
  json_build_object('id', b.id, 'facilityId', b.facility_id, 'equipmentRoomId', b.equipment_room_id, 'name', b.name,
    'useClass', b.use_class, 'setting', b.setting, 'sanitizerSystem', b.sanitizer_system,
    'cyanuricAcidUsed', b.cyanuric_acid_used, 'volumeL', b.volume_l, 'surfaceM2', b.surface_m2,
    'flowLMin', b.flow_l_min, 'note', b.note, 'retiredAt', b.retired_at, 'createdAt', b.created_at,
    'updatedAt', b.updated_at) AS body,
  json_build_object('id', f.id, 'name', f.name, 'address', f.address, 'area', f.area, 'timeZone', f.time_zone,
    'profileKey', f.profile_key, 'contactName', f.contact_name, 'contactEmail', f.contact_email,
    'contactPhone', f.contact_phone, 'note', f.note, 'retiredAt', f.retired_at, 'createdAt', f.created_at,
    'updatedAt', f.updated_at) AS facility,
  CASE WHEN s.assessed_at IS NOT NULL
    THEN json_build_object('severity', s.severity, 'score', s.score, 'parts', s.parts) END AS standing,
  (SELECT json_build_object('id', u.id, 'from', u.from_at, 'to', u.to_at, 'reason', u.reason, 'person', u.person,
      'endedBy', u.ended_by)
    FROM out_of_use u WHERE u.body_id = b.id AND coalesce(u.to_at, 'infinity') > greatest(u.from_at, $3) ORDER BY u.from_at LIMIT 1) AS "outOfUse",
  s.assessed_at AS "assessedAt", s.heard_at AS "heardAt", s.view,
  (SELECT coalesce(json_agg(json_build_object('quantity', c.quantity, 'controllerName', k.name) ORDER BY k.name, c.id), '[]')
    FROM channel c JOIN controller k ON k.id = c.controller_id WHERE c.body_id = b.id AND c.retired_at IS NULL) AS channels,
  (SELECT coalesce(json_agg(i), '[]') FROM (
    SELECT id, file_name AS "fileName", state, counts, created_at AS "createdAt", person FROM import
    WHERE facility_id = b.facility_id AND discarded_at IS NULL
      AND counts @> jsonb_build_object('bodies', jsonb_build_array(jsonb_build_object('bodyId', b.id)))
    ORDER BY created_at DESC LIMIT $2) i) AS imports
FROM body b
JOIN facility f ON f.id = b.facility_id
LEFT JOIN standing s ON s.body_id = b.id
WHERE b.id = $1`

export const selectPage = async (client: Queryable, bodyId: string, imports: number, now: Date) =>
  (await client.query<PageRow>(SELECT_PAGE, [bodyId, imports, now])).rows[0]
