-- A company's own code profile is never overwritten: a change is a new version with who made it, when and why, and the
-- newest one counts. It is retired, not deleted, and only while nothing is judged by it.
CREATE TABLE code_profile_version (
  profile_key text NOT NULL REFERENCES code_profile,
  version     integer NOT NULL CHECK (version > 0),
  name        text NOT NULL,
  overrides   jsonb NOT NULL,
  additions   jsonb NOT NULL,
  -- '' where a profile was made before persons were asked for.
  person      text NOT NULL,
  reason      text NOT NULL,
  at          timestamptz NOT NULL,
  PRIMARY KEY (profile_key, version)
);

INSERT INTO code_profile_version (profile_key, version, name, overrides, additions, person, reason, at)
SELECT key, 1, name, overrides, '[]', '', '', created_at FROM code_profile;

ALTER TABLE code_profile DROP COLUMN overrides;
ALTER TABLE code_profile ADD COLUMN retired_at timestamptz;
ALTER TABLE code_profile ADD COLUMN retired_by text;
ALTER TABLE code_profile ADD COLUMN retired_reason text;

-- The name of a retired profile is free again, and case does not tell two names apart.
ALTER TABLE code_profile DROP CONSTRAINT code_profile_name_key;
CREATE UNIQUE INDEX code_profile_name_key ON code_profile (lower(name)) WHERE retired_at IS NULL;
