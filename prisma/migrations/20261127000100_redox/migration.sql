-- What a body's ORP and pH mean, as last worked out: the fit over three months is not repeated while nothing new came in.
-- `basis` names what it was worked out from. The relation with its points stands apart: only a body's own page shows it.
CREATE TABLE redox (
  body_id     uuid PRIMARY KEY REFERENCES body,
  basis       text NOT NULL,
  assessed_at timestamptz NOT NULL,
  judgement   jsonb NOT NULL,
  model       jsonb NOT NULL
);
