-- Rooms and sockets, how boxes are built, where things stand in them, and more about a lamp's output. Lamps that were entered before are
-- bare class lamps, as they were taken for until now.
CREATE TABLE rooms (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  coldest_celsius REAL CHECK (coldest_celsius BETWEEN -30 AND 60),
  coldest_month INTEGER CHECK (coldest_month BETWEEN 1 AND 12),
  coldest_typed TEXT NOT NULL,
  hottest_celsius REAL CHECK (hottest_celsius BETWEEN -30 AND 60),
  hottest_month INTEGER CHECK (hottest_month BETWEEN 1 AND 12),
  hottest_typed TEXT NOT NULL,
  notes TEXT NOT NULL CHECK (length(notes) <= 4000),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1,
  CHECK ((coldest_celsius IS NULL) = (coldest_month IS NULL)),
  CHECK ((hottest_celsius IS NULL) = (hottest_month IS NULL))
) STRICT;

CREATE TABLE outlets (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  room_id INTEGER REFERENCES rooms (id),
  rule TEXT NOT NULL CHECK (rule IN ('uk', 'us-15', 'us-20', 'eu', 'own')),
  volts REAL NOT NULL CHECK (volts BETWEEN 90 AND 260),
  circuit_amps REAL NOT NULL CHECK (circuit_amps BETWEEN 1 AND 63),
  plug_amps REAL CHECK (plug_amps BETWEEN 1 AND 63),
  lead_amps REAL CHECK (lead_amps BETWEEN 1 AND 63),
  notes TEXT NOT NULL CHECK (length(notes) <= 4000),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;

ALTER TABLE enclosures ADD COLUMN build TEXT NOT NULL DEFAULT
  '{"wallMm":null,"frontMaterial":null,"frontMm":null,"standsOn":"something","airChanges":null,"heatUse":null,"roomId":null,"mostLengthMm":null,"mostDepthMm":null,"mostHeightMm":null}'
  CHECK (json_valid(build));

ALTER TABLE fittings ADD COLUMN placed TEXT CHECK (placed IS NULL OR json_valid(placed));
ALTER TABLE fittings ADD COLUMN outlet_id INTEGER REFERENCES outlets (id);

UPDATE fittings SET lamp = json_set(
  lamp, '$.more', json('[]'), '$.from', 'class', '$.datumOffsetMm', 0, '$.reflector', 'without', '$.throughMesh', json('false'), '$.beam', NULL
) WHERE lamp IS NOT NULL;

UPDATE upgrades SET changes = (
  SELECT json_group_array(json(
    CASE
      WHEN json_type(one.value, '$.fitting.lamp') = 'object' THEN json_set(
        one.value, '$.fitting.placed', NULL, '$.fitting.outletId', NULL,
        '$.fitting.lamp.more', json('[]'), '$.fitting.lamp.from', 'class', '$.fitting.lamp.datumOffsetMm', 0,
        '$.fitting.lamp.reflector', 'without', '$.fitting.lamp.throughMesh', json('false'), '$.fitting.lamp.beam', NULL
      )
      WHEN json_type(one.value, '$.fitting') = 'object' THEN json_set(
        one.value, '$.fitting.placed', NULL, '$.fitting.outletId', NULL
      )
      ELSE one.value
    END
  ))
  FROM json_each(upgrades.changes) AS one
);

-- Where the keeper lives, in degrees north of the equator, for the length of the day.
ALTER TABLE ledger ADD COLUMN latitude REAL CHECK (latitude BETWEEN -90 AND 90);

-- What an upgrade was expected to bring when it was fitted, and what was read afterwards.
CREATE TABLE predictions (
  id INTEGER PRIMARY KEY,
  upgrade_id INTEGER NOT NULL REFERENCES upgrades (id),
  enclosure_id INTEGER NOT NULL REFERENCES enclosures (id),
  kind TEXT NOT NULL,
  predicted REAL NOT NULL,
  error REAL NOT NULL CHECK (error >= 0),
  made_on TEXT NOT NULL CHECK (made_on GLOB '????-??-??'),
  reading_id INTEGER REFERENCES readings (id),
  UNIQUE (upgrade_id, enclosure_id, kind)
) STRICT;
