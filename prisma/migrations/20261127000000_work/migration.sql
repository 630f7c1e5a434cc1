-- What somebody did at a body's probes, feeders and flow: after it the same water may show something else, and a fault may be
-- gone. A correction is a new row that names the old one, as with readings; `done` is false in one that says it never happened.
CREATE TABLE work (
  body_id           uuid NOT NULL REFERENCES body,
  id                uuid NOT NULL,
  kind              text NOT NULL CHECK (kind IN ('orpProbeReplaced', 'orpProbeCleaned', 'controllerSwapped',
                      'flowCellServiced', 'waterReplaced', 'stabilizerAdded', 'phProbeReplaced', 'phProbeCleaned',
                      'phCalibrated', 'feederServiced', 'controllerSet', 'strainerCleaned', 'flowSwitchServiced',
                      'orpSetPointMoved', 'phSetPointMoved')),
  at                timestamptz NOT NULL,
  person            text NOT NULL,
  -- Null where it concerns no single feeder.
  feeder_id         uuid REFERENCES feeder,
  orp_set_point_mv  double precision CHECK (orp_set_point_mv BETWEEN 0 AND 1300),
  ph_set_point      double precision CHECK (ph_set_point BETWEEN 0 AND 14),
  -- What a calibration reported of the pH probe's slope, per cent of theory.
  slope_pct         double precision CHECK (slope_pct > 0 AND slope_pct <= 150),
  done              boolean NOT NULL DEFAULT true,
  note              text NOT NULL DEFAULT '',
  replaces_id       uuid,
  reason            text,
  replaced_at       timestamptz,
  created_at        timestamptz NOT NULL DEFAULT now(),
  PRIMARY KEY (body_id, id),
  FOREIGN KEY (body_id, replaces_id) REFERENCES work (body_id, id),
  CHECK ((kind = 'orpSetPointMoved') = (orp_set_point_mv IS NOT NULL)),
  CHECK ((kind = 'phSetPointMoved') = (ph_set_point IS NOT NULL)),
  CHECK (slope_pct IS NULL OR kind = 'phCalibrated'),
  CHECK (feeder_id IS NULL OR kind = 'feederServiced'),
  CHECK (done OR replaces_id IS NOT NULL),
  CHECK ((replaces_id IS NULL) = (reason IS NULL))
);
CREATE UNIQUE INDEX work_replaces_key ON work (body_id, replaces_id) WHERE replaces_id IS NOT NULL;
CREATE INDEX work_body_at_idx ON work (body_id, at DESC) WHERE replaced_at IS NULL;
