-- The keeper's own values in place of shipped ones, each for a species or for one animal of it, and species of the keeper's own. `typed`
-- holds what was typed, by field; `shipped` what the value stood in place of when it was made. Then the shipped figures as they last were,
-- and what an update changed in them.
CREATE TABLE care_overrides (
  id INTEGER PRIMARY KEY,
  species_id TEXT NOT NULL,
  animal_id INTEGER REFERENCES animals (id),
  figure TEXT NOT NULL,
  value TEXT NOT NULL CHECK (json_valid(value)),
  typed TEXT NOT NULL CHECK (json_valid(typed)),
  source_title TEXT NOT NULL CHECK (length(source_title) BETWEEN 1 AND 200),
  source_year INTEGER CHECK (source_year BETWEEN 1800 AND 2100),
  source_address TEXT NOT NULL CHECK (length(source_address) <= 400),
  grade TEXT NOT NULL CHECK (grade IN ('tested-on-species', 'studied-nearby', 'agreed-practice', 'hearsay')),
  note TEXT NOT NULL CHECK (length(note) <= 4000),
  shipped TEXT CHECK (shipped IS NULL OR json_valid(shipped)),
  removed_on TEXT CHECK (removed_on GLOB '????-??-??'),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
CREATE UNIQUE INDEX care_overrides_in_force ON care_overrides (species_id, figure, coalesce(animal_id, 0))
  WHERE removed_on IS NULL;

CREATE TABLE own_species (
  id INTEGER PRIMARY KEY,
  species_id TEXT NOT NULL,
  species TEXT NOT NULL CHECK (json_valid(species)),
  sources TEXT NOT NULL CHECK (json_valid(sources)),
  removed_on TEXT CHECK (removed_on GLOB '????-??-??'),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
CREATE UNIQUE INDEX own_species_in_force ON own_species (species_id) WHERE removed_on IS NULL;

CREATE TABLE shipped_figures (
  species_id TEXT PRIMARY KEY,
  figures TEXT NOT NULL CHECK (json_valid(figures))
) STRICT;

CREATE TABLE care_updates (
  id INTEGER PRIMARY KEY,
  happened_on TEXT NOT NULL CHECK (happened_on GLOB '????-??-??'),
  changes TEXT NOT NULL CHECK (json_valid(changes)),
  moved TEXT NOT NULL CHECK (json_valid(moved)),
  read_on TEXT CHECK (read_on GLOB '????-??-??')
) STRICT;
