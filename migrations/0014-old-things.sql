-- What an upgrade frees, and what becomes of it. `facts` is the box or thing as it was, since a replaced box is no longer anywhere else.
CREATE TABLE old_things (
  id INTEGER PRIMARY KEY,
  upgrade_id INTEGER NOT NULL REFERENCES upgrades (id),
  thing TEXT NOT NULL,
  facts TEXT NOT NULL CHECK (json_valid(facts)),
  fate TEXT NOT NULL CHECK (fate IN ('undecided', 'stays', 'handed-down', 'sold', 'spare', 'quarantine', 'recycled')),
  to_enclosure_id INTEGER REFERENCES enclosures (id),
  to_upgrade_id INTEGER REFERENCES upgrades (id),
  sum_id INTEGER REFERENCES one_off_sums (id),
  amount INTEGER CHECK (amount >= 0),
  avoided INTEGER CHECK (avoided >= 0),
  decided_on TEXT NOT NULL,
  version INTEGER NOT NULL DEFAULT 1,
  UNIQUE (upgrade_id, thing)
) STRICT;
