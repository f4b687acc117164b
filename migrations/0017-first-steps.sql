-- What was taken for granted when something was entered the short way, each at the row it is about; it stands until the row is changed or
-- the keeper says that it is right. And that the way to the first plan was put away.
CREATE TABLE assumptions (
  id INTEGER PRIMARY KEY,
  enclosure_id INTEGER REFERENCES enclosures (id),
  animal_id INTEGER REFERENCES animals (id),
  fitting_id INTEGER REFERENCES fittings (id),
  what TEXT NOT NULL CHECK (what <> ''),
  row_version INTEGER NOT NULL CHECK (row_version >= 1),
  settled_on TEXT CHECK (settled_on GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
  CHECK ((enclosure_id IS NOT NULL) + (animal_id IS NOT NULL) + (fitting_id IS NOT NULL) = 1)
) STRICT;
CREATE TABLE first_steps (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  put_away_on TEXT CHECK (put_away_on GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]')
) STRICT;
