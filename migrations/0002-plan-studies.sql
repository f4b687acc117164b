-- What is worked out about a plan once it is kept: one row a kind of study, written anew while it grows.
CREATE TABLE plan_studies (
  plan_id INTEGER NOT NULL REFERENCES plans (id),
  kind TEXT NOT NULL CHECK (kind IN ('soonest', 'objections', 'money', 'robust', 'choices')),
  content TEXT NOT NULL CHECK (json_valid(content)),
  PRIMARY KEY (plan_id, kind)
) STRICT;

-- How a plan follows from the one before it: the best that was found, what was changed and what was left as it was.
ALTER TABLE plans ADD COLUMN since_last TEXT CHECK (json_valid(since_last));
