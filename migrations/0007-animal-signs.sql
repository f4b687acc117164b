-- What the keeper noted of an animal itself: a weight in grams, or something seen, with the sum set aside for the vet because of it and how
-- it ended. Never part of a score.
CREATE TABLE animal_signs (
  id INTEGER PRIMARY KEY,
  animal_id INTEGER NOT NULL REFERENCES animals (id),
  kind TEXT NOT NULL CHECK (kind IN ('weight', 'appetite', 'shed', 'injury', 'breathing', 'stool', 'behaviour', 'other')),
  noted_on TEXT NOT NULL CHECK (noted_on GLOB '????-??-??'),
  grams REAL CHECK (grams > 0 AND grams <= 500000),
  grams_typed TEXT NOT NULL,
  alarm TEXT CHECK (alarm IN ('open-mouth', 'prolapse', 'burn', 'bleeding', 'not-moving')),
  is_worrying INTEGER NOT NULL CHECK (is_worrying IN (0, 1)),
  notes TEXT NOT NULL CHECK (length(notes) <= 4000),
  set_aside INTEGER CHECK (set_aside BETWEEN 1 AND 1000000000000),
  set_aside_month TEXT CHECK (set_aside_month GLOB '????-??'),
  settled_on TEXT CHECK (settled_on GLOB '????-??-??'),
  settled_how TEXT CHECK (settled_how IN ('vet-seen', 'passed', 'other')),
  paid INTEGER CHECK (paid BETWEEN 0 AND 1000000000000),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1,
  CHECK ((kind = 'weight') = (grams IS NOT NULL)),
  CHECK ((set_aside IS NULL) = (set_aside_month IS NULL)),
  CHECK ((settled_on IS NULL) = (settled_how IS NULL)),
  CHECK (paid IS NULL OR settled_on IS NOT NULL)
) STRICT;
CREATE INDEX animal_signs_by_animal ON animal_signs (animal_id, noted_on);
