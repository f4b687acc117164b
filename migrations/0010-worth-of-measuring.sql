-- What measuring first is worth is one more thing that is worked out about a plan.
CREATE TABLE plan_studies_wider (
  plan_id INTEGER NOT NULL REFERENCES plans (id),
  kind TEXT NOT NULL CHECK (kind IN ('soonest', 'objections', 'measuring', 'money', 'robust', 'choices')),
  content TEXT NOT NULL CHECK (json_valid(content)),
  PRIMARY KEY (plan_id, kind)
) STRICT;
INSERT INTO plan_studies_wider (plan_id, kind, content) SELECT plan_id, kind, content FROM plan_studies;
DROP TABLE plan_studies;
ALTER TABLE plan_studies_wider RENAME TO plan_studies;
