-- Fecal matter or vomit in the water. An incident keeps its id; what is known of it stands in versions, of which one is
-- current: a correction is a new version that names why, and the old one stays. Closing is written once and kept with what
-- was checked and with the contact time as it was then.
CREATE TABLE incident (
  body_id    uuid NOT NULL REFERENCES body,
  id         uuid NOT NULL,
  closed_at  timestamptz,
  closed_by  text,
  closing    jsonb,
  created_at timestamptz NOT NULL DEFAULT now(),
  PRIMARY KEY (body_id, id),
  CHECK (num_nulls(closed_at, closed_by, closing) IN (0, 3))
);
CREATE INDEX incident_open_idx ON incident (body_id) WHERE closed_at IS NULL;

CREATE TABLE incident_version (
  body_id        uuid NOT NULL,
  incident_id    uuid NOT NULL,
  -- The first version carries the incident's own id.
  id             uuid NOT NULL,
  kind           text NOT NULL CHECK (kind IN ('formedStool', 'diarrhea', 'vomit')),
  happened_at    timestamptz NOT NULL,
  person         text NOT NULL,
  note           text NOT NULL DEFAULT '',
  -- What an authority asked for in place of the published level and time.
  instructed_free_chlorine_mg_l double precision CHECK (instructed_free_chlorine_mg_l > 0),
  instructed_hold_min           double precision CHECK (instructed_hold_min > 0),
  instructed_ph_max             double precision CHECK (instructed_ph_max BETWEEN 0 AND 14),
  instructed_by                 text,
  reason         text,
  replaced_at    timestamptz,
  created_at     timestamptz NOT NULL DEFAULT now(),
  PRIMARY KEY (body_id, incident_id, id),
  FOREIGN KEY (body_id, incident_id) REFERENCES incident (body_id, id),
  CHECK (num_nulls(instructed_free_chlorine_mg_l, instructed_hold_min, instructed_by) IN (0, 3)),
  CHECK (instructed_ph_max IS NULL OR instructed_by IS NOT NULL)
);
CREATE UNIQUE INDEX incident_version_current_key ON incident_version (body_id, incident_id) WHERE replaced_at IS NULL;
CREATE INDEX incident_version_happened_idx ON incident_version (happened_at DESC) WHERE replaced_at IS NULL;
