-- What the keeper reads with: each instrument with the kinds of reading it takes and the error its maker states for each.
CREATE TABLE instruments (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  measures TEXT NOT NULL CHECK (json_valid(measures)),
  standing TEXT NOT NULL CHECK (standing IN ('own', 'borrowed')),
  borrowed_from TEXT CHECK (borrowed_from GLOB '????-??-??'),
  borrowed_until TEXT CHECK (borrowed_until GLOB '????-??-??'),
  notes TEXT NOT NULL CHECK (length(notes) <= 4000),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1,
  CHECK (standing = 'borrowed' OR (borrowed_from IS NULL AND borrowed_until IS NULL)),
  CHECK (borrowed_until IS NULL OR borrowed_from IS NULL OR borrowed_until >= borrowed_from)
) STRICT;
