-- A body that nobody bathes in and nobody treats for a while. A period keeps who took it out of use and why, and who put it
-- into use again; periods of one body never overlap. `to_at` null: until somebody puts it into use again.
CREATE TABLE out_of_use (
  body_id    uuid NOT NULL REFERENCES body,
  id         uuid NOT NULL,
  from_at    timestamptz NOT NULL,
  to_at      timestamptz,
  reason     text NOT NULL,
  person     text NOT NULL,
  ended_by   text,
  created_at timestamptz NOT NULL DEFAULT now(),
  PRIMARY KEY (body_id, id),
  CHECK (to_at >= from_at)
);
CREATE UNIQUE INDEX out_of_use_open_key ON out_of_use (body_id) WHERE to_at IS NULL;

-- Such a body has a standing of its own: its water is not judged, and it never looks fine.
ALTER TABLE standing DROP CONSTRAINT standing_severity_check;
ALTER TABLE standing ADD CONSTRAINT standing_severity_check
  CHECK (severity IN ('close', 'act', 'unheard', 'watch', 'fine', 'outOfUse'));
