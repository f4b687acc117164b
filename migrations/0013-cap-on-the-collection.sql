-- What a keeper says of time, floor, emergencies and a newcomer's quarantine, in one row; what one animal takes a week and a month at adult
-- size; and each question of the kind "what if", with what came of it. Null was never said.
CREATE TABLE cap_settings (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  minutes_a_week INTEGER CHECK (minutes_a_week BETWEEN 0 AND 10080),
  floor_m2 REAL CHECK (floor_m2 BETWEEN 0 AND 10000),
  largest_emergency INTEGER CHECK (largest_emergency >= 0),
  quarantine_place TEXT CHECK (quarantine_place IN ('yes', 'no')),
  quarantine_weeks INTEGER CHECK (quarantine_weeks BETWEEN 0 AND 104),
  quarantine_box INTEGER CHECK (quarantine_box >= 0),
  newcomer_vet INTEGER CHECK (newcomer_vet >= 0),
  cushion_percent INTEGER NOT NULL CHECK (cushion_percent BETWEEN 0 AND 90),
  clear_months INTEGER NOT NULL CHECK (clear_months BETWEEN 1 AND 120),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;

CREATE TABLE animal_upkeep (
  animal_id INTEGER PRIMARY KEY REFERENCES animals (id),
  minutes_a_week INTEGER CHECK (minutes_a_week BETWEEN 0 AND 10080),
  food INTEGER CHECK (food >= 0),
  substrate INTEGER CHECK (substrate >= 0),
  vet INTEGER CHECK (vet >= 0)
) STRICT;

CREATE TABLE cap_questions (
  id INTEGER PRIMARY KEY,
  asked_on TEXT NOT NULL CHECK (asked_on GLOB '????-??-??'),
  first_month TEXT NOT NULL CHECK (first_month GLOB '????-??'),
  ledger_version INTEGER NOT NULL,
  currency TEXT NOT NULL,
  question TEXT NOT NULL CHECK (json_valid(question)),
  outcome TEXT NOT NULL CHECK (json_valid(outcome))
) STRICT;
