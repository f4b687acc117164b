-- What a renewal, or a spare after a breakdown, leaves over is asked for like what an upgrade frees: either the upgrade or the renewed thing is
-- named. Rebuilt, since a column that must not be empty cannot be made one that may.
CREATE TABLE old_things_anew (
  id INTEGER PRIMARY KEY,
  upgrade_id INTEGER REFERENCES upgrades (id),
  fitting_id INTEGER REFERENCES fittings (id),
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
  UNIQUE (upgrade_id, thing),
  CHECK ((upgrade_id IS NULL) <> (fitting_id IS NULL))
) STRICT;
INSERT INTO old_things_anew
  (id, upgrade_id, thing, facts, fate, to_enclosure_id, to_upgrade_id, sum_id, amount, avoided, decided_on, version)
SELECT id, upgrade_id, thing, facts, fate, to_enclosure_id, to_upgrade_id, sum_id, amount, avoided, decided_on, version
FROM old_things;
DROP TABLE old_things;
ALTER TABLE old_things_anew RENAME TO old_things;
