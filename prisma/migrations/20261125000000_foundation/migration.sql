-- Tables in the order of the one-way flow: plant, what came in, what was judged.
-- Quantities are stored in mg/L, °C, mV, L, L/min; times as timestamptz. Ids are UUIDv7 made by the writer.
-- Nothing that people entered is deleted: plant is retired, readings are replaced by newer versions.

-- A company's own code profile, derived from a published one; the published ones are data of the chemistry package.
CREATE TABLE code_profile (
  key         text PRIMARY KEY,
  name        text NOT NULL UNIQUE,
  parent_key  text NOT NULL,
  overrides   jsonb NOT NULL,
  created_at  timestamptz NOT NULL DEFAULT now()
);

CREATE TABLE facility (
  id            uuid PRIMARY KEY,
  name          text NOT NULL,
  address       text NOT NULL DEFAULT '',
  area          text NOT NULL DEFAULT '',
  time_zone     text NOT NULL,
  profile_key   text NOT NULL,
  contact_name  text NOT NULL DEFAULT '',
  contact_email text NOT NULL DEFAULT '',
  contact_phone text NOT NULL DEFAULT '',
  note          text NOT NULL DEFAULT '',
  retired_at    timestamptz,
  created_at    timestamptz NOT NULL DEFAULT now(),
  updated_at    timestamptz NOT NULL DEFAULT now()
);
CREATE UNIQUE INDEX facility_name_key ON facility (lower(name)) WHERE retired_at IS NULL;

CREATE TABLE equipment_room (
  id          uuid PRIMARY KEY,
  facility_id uuid NOT NULL REFERENCES facility,
  name        text NOT NULL,
  note        text NOT NULL DEFAULT '',
  retired_at  timestamptz,
  created_at  timestamptz NOT NULL DEFAULT now(),
  updated_at  timestamptz NOT NULL DEFAULT now()
);
CREATE UNIQUE INDEX equipment_room_name_key ON equipment_room (facility_id, lower(name)) WHERE retired_at IS NULL;

CREATE TABLE body (
  id                 uuid PRIMARY KEY,
  facility_id        uuid NOT NULL REFERENCES facility,
  equipment_room_id  uuid REFERENCES equipment_room,
  name               text NOT NULL,
  use_class          text NOT NULL CHECK (use_class IN ('pool', 'spa', 'wading', 'splash', 'therapy')),
  setting            text NOT NULL CHECK (setting IN ('indoor', 'outdoor')),
  sanitizer_system   text NOT NULL CHECK (sanitizer_system IN ('hypochlorite', 'erosion', 'saltGenerator', 'bromine')),
  cyanuric_acid_used boolean NOT NULL,
  volume_l           double precision CHECK (volume_l > 0),
  surface_m2         double precision CHECK (surface_m2 > 0),
  flow_l_min         double precision CHECK (flow_l_min > 0),
  note               text NOT NULL DEFAULT '',
  retired_at         timestamptz,
  created_at         timestamptz NOT NULL DEFAULT now(),
  updated_at         timestamptz NOT NULL DEFAULT now()
);
CREATE UNIQUE INDEX body_name_key ON body (facility_id, lower(name)) WHERE retired_at IS NULL;
CREATE INDEX body_facility_idx ON body (facility_id);

CREATE TABLE controller (
  id                uuid PRIMARY KEY,
  equipment_room_id uuid NOT NULL REFERENCES equipment_room,
  name              text NOT NULL,
  note              text NOT NULL DEFAULT '',
  retired_at        timestamptz,
  created_at        timestamptz NOT NULL DEFAULT now(),
  updated_at        timestamptz NOT NULL DEFAULT now()
);
CREATE UNIQUE INDEX controller_name_key ON controller (equipment_room_id, lower(name)) WHERE retired_at IS NULL;

CREATE TABLE channel (
  id            uuid PRIMARY KEY,
  controller_id uuid NOT NULL REFERENCES controller,
  body_id       uuid NOT NULL REFERENCES body,
  quantity      text NOT NULL CHECK (quantity IN ('ph', 'orpMv', 'freeChlorineMgL', 'tempC', 'flowLMin', 'flowOn',
                  'sanitizerFeedPct', 'backupFeedPct', 'phFeedPct', 'phSetPoint', 'orpSetPointMv')),
  retired_at    timestamptz,
  created_at    timestamptz NOT NULL DEFAULT now(),
  updated_at    timestamptz NOT NULL DEFAULT now()
);
-- A body hears each quantity from one controller at a time.
CREATE UNIQUE INDEX channel_body_quantity_key ON channel (body_id, quantity) WHERE retired_at IS NULL;
CREATE INDEX channel_controller_idx ON channel (controller_id);

CREATE TABLE drum (
  id                uuid PRIMARY KEY,
  equipment_room_id uuid NOT NULL REFERENCES equipment_room,
  name              text NOT NULL,
  content           text NOT NULL CHECK (content IN ('sodiumHypochlorite', 'calciumHypochlorite', 'trichlor', 'bromineTablets',
                      'hydrochloricAcid', 'sulfuricAcid', 'sodiumBisulfate', 'carbonDioxide')),
  strength_pct      double precision CHECK (strength_pct > 0 AND strength_pct <= 100),
  capacity_l        double precision NOT NULL CHECK (capacity_l > 0),
  note              text NOT NULL DEFAULT '',
  retired_at        timestamptz,
  created_at        timestamptz NOT NULL DEFAULT now(),
  updated_at        timestamptz NOT NULL DEFAULT now()
);
CREATE UNIQUE INDEX drum_name_key ON drum (equipment_room_id, lower(name)) WHERE retired_at IS NULL;

CREATE TABLE feeder (
  id          uuid PRIMARY KEY,
  body_id     uuid NOT NULL REFERENCES body,
  drum_id     uuid REFERENCES drum,
  name        text NOT NULL,
  role        text NOT NULL CHECK (role IN ('primary', 'backup', 'ph')),
  kind        text NOT NULL CHECK (kind IN ('pump', 'erosion', 'saltGenerator', 'co2')),
  rate_l_h    double precision CHECK (rate_l_h > 0),
  note        text NOT NULL DEFAULT '',
  retired_at  timestamptz,
  created_at  timestamptz NOT NULL DEFAULT now(),
  updated_at  timestamptz NOT NULL DEFAULT now()
);
-- One feeder for each role of a body.
CREATE UNIQUE INDEX feeder_body_role_key ON feeder (body_id, role) WHERE retired_at IS NULL;
CREATE INDEX feeder_drum_idx ON feeder (drum_id);

CREATE TABLE drum_level (
  id          uuid PRIMARY KEY,
  drum_id     uuid NOT NULL REFERENCES drum,
  at          timestamptz NOT NULL,
  level_l     double precision NOT NULL CHECK (level_l >= 0),
  delivered_l double precision NOT NULL DEFAULT 0 CHECK (delivered_l >= 0),
  person      text NOT NULL,
  created_at  timestamptz NOT NULL DEFAULT now()
);
CREATE INDEX drum_level_drum_at_idx ON drum_level (drum_id, at DESC);

-- One manual test: several values of one body by one person at one time. A correction is a new row that names the old one.
CREATE TABLE reading (
  body_id                uuid NOT NULL REFERENCES body,
  id                     uuid NOT NULL,
  at                     timestamptz NOT NULL,
  person                 text NOT NULL,
  method                 text NOT NULL CHECK (method IN ('dropTest', 'photometer', 'comparator', 'strip', 'meter', 'other')),
  free_chlorine_mg_l     double precision,
  total_chlorine_mg_l    double precision,
  bromine_mg_l           double precision,
  ph                     double precision,
  total_alkalinity_mg_l  double precision,
  calcium_hardness_mg_l  double precision,
  cyanuric_acid_mg_l     double precision,
  temp_c                 double precision,
  tds_mg_l               double precision,
  salt_mg_l              double precision,
  display_ph             double precision,
  display_orp_mv         double precision,
  note                   text NOT NULL DEFAULT '',
  replaces_id            uuid,
  reason                 text,
  replaced_at            timestamptz,
  created_at             timestamptz NOT NULL DEFAULT now(),
  PRIMARY KEY (body_id, id),
  FOREIGN KEY (body_id, replaces_id) REFERENCES reading (body_id, id)
);
CREATE UNIQUE INDEX reading_replaces_key ON reading (body_id, replaces_id) WHERE replaces_id IS NOT NULL;
CREATE INDEX reading_body_at_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL;
-- Judgement asks for the newest value of each parameter, and some are measured once a month: one look-up each.
CREATE INDEX reading_free_chlorine_mg_l_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND free_chlorine_mg_l IS NOT NULL;
CREATE INDEX reading_total_chlorine_mg_l_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND total_chlorine_mg_l IS NOT NULL;
CREATE INDEX reading_bromine_mg_l_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND bromine_mg_l IS NOT NULL;
CREATE INDEX reading_ph_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND ph IS NOT NULL;
CREATE INDEX reading_total_alkalinity_mg_l_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND total_alkalinity_mg_l IS NOT NULL;
CREATE INDEX reading_calcium_hardness_mg_l_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND calcium_hardness_mg_l IS NOT NULL;
CREATE INDEX reading_cyanuric_acid_mg_l_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND cyanuric_acid_mg_l IS NOT NULL;
CREATE INDEX reading_temp_c_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND temp_c IS NOT NULL;
CREATE INDEX reading_tds_mg_l_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND tds_mg_l IS NOT NULL;
CREATE INDEX reading_salt_mg_l_idx ON reading (body_id, at DESC) WHERE replaced_at IS NULL AND salt_mg_l IS NOT NULL;

CREATE TABLE gateway (
  id           uuid PRIMARY KEY,
  name         text NOT NULL,
  token_hash   bytea NOT NULL UNIQUE,
  created_at   timestamptz NOT NULL DEFAULT now(),
  last_used_at timestamptz,
  revoked_at   timestamptz
);
CREATE UNIQUE INDEX gateway_name_key ON gateway (lower(name)) WHERE revoked_at IS NULL;

CREATE TABLE gateway_controller (
  gateway_id    uuid NOT NULL REFERENCES gateway,
  controller_id uuid NOT NULL REFERENCES controller,
  PRIMARY KEY (gateway_id, controller_id)
);

-- A batch that a gateway sent; its answer is kept, so that the same batch sent again gets the same answer.
CREATE TABLE push_batch (
  id          uuid PRIMARY KEY,
  gateway_id  uuid NOT NULL REFERENCES gateway,
  received_at timestamptz NOT NULL DEFAULT now(),
  -- SHA-256 of what was sent: the same id with other content is refused.
  content     bytea NOT NULL,
  answer      jsonb NOT NULL
);

CREATE TABLE import_layout (
  id           uuid PRIMARY KEY,
  name         text NOT NULL,
  facility_id  uuid NOT NULL REFERENCES facility,
  -- What makes a file the same kind: delimiter and column names.
  fingerprint  text NOT NULL,
  layout       jsonb NOT NULL,
  created_at   timestamptz NOT NULL DEFAULT now(),
  used_at      timestamptz NOT NULL DEFAULT now(),
  UNIQUE (facility_id, fingerprint)
);

CREATE TABLE import (
  id           uuid PRIMARY KEY,
  facility_id  uuid NOT NULL REFERENCES facility,
  file_name    text NOT NULL,
  bytes        bigint NOT NULL,
  sha256       text NOT NULL,
  state        text NOT NULL CHECK (state IN ('uploaded', 'checking', 'checked', 'running', 'done', 'failed')),
  person       text NOT NULL,
  detection    jsonb,
  layout       jsonb,
  layout_name  text,
  counts       jsonb,
  failure      text,
  created_at   timestamptz NOT NULL DEFAULT now(),
  finished_at  timestamptz,
  discarded_at timestamptz
);
CREATE INDEX import_created_idx ON import (created_at DESC);
CREATE INDEX import_facility_idx ON import (facility_id, created_at DESC);

CREATE TABLE import_reject (
  import_id   uuid NOT NULL REFERENCES import,
  line        bigint NOT NULL,
  column_name text,
  value       text,
  reason      text NOT NULL
);
CREATE INDEX import_reject_import_idx ON import_reject (import_id, line);

-- One wide row per body and time. 8,000 bodies at five minutes are 2.3 million rows a day: partitioned by month (UTC),
-- written by COPY into a staging table and merged; `real` keeps the row narrow and is finer than any probe.
CREATE TABLE sample (
  body_id             uuid NOT NULL,
  at                  timestamptz NOT NULL,
  ph                  real,
  orp_mv              real,
  free_chlorine_mg_l  real,
  temp_c              real,
  flow_l_min          real,
  flow_on             boolean,
  sanitizer_feed_pct  real,
  backup_feed_pct     real,
  ph_feed_pct         real,
  ph_set_point        real,
  orp_set_point_mv    real,
  PRIMARY KEY (body_id, at)
) PARTITION BY RANGE (at);

-- The hourly roll-up of sample, kept true in the transaction that writes samples. Charts and judgement read this.
-- A sample counts until the next one of its hour, at most 15 minutes, and never past the hour.
CREATE TABLE sample_hour (
  body_id               uuid NOT NULL,
  hour                  timestamptz NOT NULL,
  samples               integer NOT NULL,
  covered_min           real NOT NULL,
  ph_min                real, ph_mean             real, ph_max             real,
  orp_mv_min            real, orp_mv_mean         real, orp_mv_max         real,
  free_chlorine_mg_l_min real, free_chlorine_mg_l_mean real, free_chlorine_mg_l_max real,
  temp_c_min            real, temp_c_mean         real, temp_c_max         real,
  flow_l_min_min        real, flow_l_min_mean     real, flow_l_min_max     real,
  ph_set_point          real,
  orp_set_point_mv      real,
  sanitizer_feed_min    real,
  backup_feed_min       real,
  ph_feed_min           real,
  no_flow_min           real,
  feed_without_flow_min real,
  both_feeds_min        real,
  PRIMARY KEY (body_id, hour)
);

-- Makes the monthly partitions that a range of samples needs. Attaching takes a weaker lock than creating in place,
-- so readers go on; callers run it before their own transaction.
CREATE FUNCTION ensure_sample_partitions(from_at timestamptz, to_at timestamptz) RETURNS integer
LANGUAGE plpgsql AS $$
DECLARE
  month_start timestamp := date_trunc('month', from_at AT TIME ZONE 'UTC');
  last_start  timestamp := date_trunc('month', to_at AT TIME ZONE 'UTC');
  part        text;
  made        integer := 0;
BEGIN
  IF last_start - month_start > interval '50 years' THEN
    RAISE EXCEPTION 'samples from % to % span more than 50 years: check the date order', from_at, to_at;
  END IF;
  PERFORM pg_advisory_xact_lock(hashtext('sample partitions'));
  WHILE month_start <= last_start LOOP
    part := 'sample_' || to_char(month_start, 'YYYY_MM');
    IF to_regclass(part) IS NULL THEN
      EXECUTE format('CREATE TABLE %I (LIKE sample INCLUDING ALL)', part);
      EXECUTE format('ALTER TABLE sample ATTACH PARTITION %I FOR VALUES FROM (%L) TO (%L)', part,
        month_start AT TIME ZONE 'UTC', (month_start + interval '1 month') AT TIME ZONE 'UTC');
      made := made + 1;
    END IF;
    month_start := month_start + interval '1 month';
  END LOOP;
  RETURN made;
END $$;

-- Drops whole months of raw samples that end before the given day; the hourly roll-up stays. Returns the months dropped.
CREATE FUNCTION drop_sample_partitions_before(before date) RETURNS text[]
LANGUAGE plpgsql AS $$
DECLARE
  part    text;
  dropped text[] := '{}';
BEGIN
  FOR part IN SELECT inhrelid::regclass::text FROM pg_inherits WHERE inhparent = 'sample'::regclass ORDER BY 1 LOOP
    IF to_date(right(part, 7), 'YYYY_MM') + interval '1 month' <= before THEN
      EXECUTE format('DROP TABLE %s', part);
      dropped := dropped || part;
    END IF;
  END LOOP;
  RETURN dropped;
END $$;

-- A finding with its life: opened, seen again, closed. `found` is the finding as last seen.
CREATE TABLE finding (
  body_id   uuid NOT NULL REFERENCES body,
  id        uuid NOT NULL,
  kind      text NOT NULL,
  subject   text NOT NULL,
  severity  text NOT NULL CHECK (severity IN ('close', 'act', 'unheard', 'watch')),
  found     jsonb NOT NULL,
  opened_at timestamptz NOT NULL,
  seen_at   timestamptz NOT NULL,
  closed_at timestamptz,
  PRIMARY KEY (body_id, id)
);
CREATE UNIQUE INDEX finding_open_key ON finding (body_id, kind, subject) WHERE closed_at IS NULL;
CREATE INDEX finding_closed_idx ON finding (body_id, closed_at DESC) WHERE closed_at IS NOT NULL;

-- A body's standing as last assessed, with what the morning list shows of it. `due_at`: when it must be assessed anew;
-- a write that touches the body sets it to now in its own transaction, so that a crash cannot lose the assessment.
CREATE TABLE standing (
  body_id       uuid PRIMARY KEY REFERENCES body,
  severity      text NOT NULL CHECK (severity IN ('close', 'act', 'unheard', 'watch', 'fine')),
  severity_rank smallint NOT NULL,
  score         real,
  parts         jsonb NOT NULL DEFAULT '[]',
  kinds         text[] NOT NULL DEFAULT '{}',
  days_left     real,
  heard_at      timestamptz,
  view          jsonb,
  assessed_at   timestamptz,
  due_at        timestamptz
);
CREATE INDEX standing_due_idx ON standing (due_at);
