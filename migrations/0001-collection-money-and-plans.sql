-- The whole ledger: one row of settings and money, the collection, upgrades with what they change, purchases as they happened, and
-- every plan with the frozen problem it answered. Amounts are minor units of the ledger's currency; lengths are millimetres,
-- temperatures degrees Celsius; days are YYYY-MM-DD and months YYYY-MM. Rows are removed by a date, so that they can be put back.

CREATE TABLE ledger (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  currency TEXT NOT NULL CHECK (currency GLOB '[A-Z][A-Z][A-Z]'),
  locale TEXT NOT NULL,
  time_zone TEXT NOT NULL,
  unit_system TEXT NOT NULL CHECK (unit_system IN ('metric', 'imperial')),
  rule_sets TEXT NOT NULL CHECK (json_valid(rule_sets)),
  horizon_months INTEGER NOT NULL CHECK (horizon_months BETWEEN 1 AND 36),
  credit_months INTEGER NOT NULL CHECK (credit_months BETWEEN 0 AND 60),
  monthly_sum INTEGER CHECK (monthly_sum BETWEEN 0 AND 1000000000000),
  covers_food INTEGER NOT NULL CHECK (covers_food IN (0, 1)),
  covers_vet INTEGER NOT NULL CHECK (covers_vet IN (0, 1)),
  covers_power INTEGER NOT NULL CHECK (covers_power IN (0, 1)),
  monthly_food INTEGER CHECK (monthly_food BETWEEN 0 AND 1000000000000),
  monthly_vet INTEGER CHECK (monthly_vet BETWEEN 0 AND 1000000000000),
  price_per_kwh REAL CHECK (price_per_kwh BETWEEN 0 AND 100),
  cash_counted INTEGER CHECK (cash_counted BETWEEN 0 AND 1000000000000),
  cash_counted_on TEXT CHECK (cash_counted_on GLOB '????-??-??'),
  sum_arrived INTEGER NOT NULL CHECK (sum_arrived IN (0, 1)),
  floor_kept INTEGER NOT NULL CHECK (floor_kept BETWEEN 0 AND 1000000000000),
  is_demo INTEGER NOT NULL CHECK (is_demo IN (0, 1)),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;

CREATE TABLE enclosures (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  length_mm REAL NOT NULL CHECK (length_mm BETWEEN 1 AND 20000),
  depth_mm REAL NOT NULL CHECK (depth_mm BETWEEN 1 AND 20000),
  height_mm REAL NOT NULL CHECK (height_mm BETWEEN 1 AND 20000),
  length_typed TEXT NOT NULL,
  depth_typed TEXT NOT NULL,
  height_typed TEXT NOT NULL,
  material TEXT NOT NULL CHECK (material IN ('glass', 'wood', 'pvc', 'acrylic', 'mesh', 'other')),
  top TEXT NOT NULL CHECK (top IN ('closed', 'mesh', 'open')),
  box_since TEXT NOT NULL CHECK (box_since GLOB '????-??-??'),
  notes TEXT NOT NULL CHECK (length(notes) <= 4000),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;

CREATE TABLE animals (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  species_id TEXT NOT NULL,
  enclosure_id INTEGER REFERENCES enclosures (id),
  length_mm REAL CHECK (length_mm BETWEEN 1 AND 20000),
  length_typed TEXT NOT NULL,
  measured_on TEXT CHECK (measured_on GLOB '????-??-??'),
  hatched_on TEXT CHECK (hatched_on GLOB '????-??-??'),
  sex TEXT NOT NULL CHECK (sex IN ('female', 'male', 'unknown')),
  is_pale_morph INTEGER NOT NULL CHECK (is_pale_morph IN (0, 1)),
  seasons TEXT NOT NULL CHECK (json_valid(seasons)),
  notes TEXT NOT NULL CHECK (length(notes) <= 4000),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
CREATE INDEX animals_by_enclosure ON animals (enclosure_id);

CREATE TABLE fittings (
  id INTEGER PRIMARY KEY,
  enclosure_id INTEGER NOT NULL REFERENCES enclosures (id),
  kind TEXT NOT NULL,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 120),
  fitted_on TEXT NOT NULL CHECK (fitted_on GLOB '????-??-??'),
  moved_on TEXT CHECK (moved_on GLOB '????-??-??'),
  retired_on TEXT CHECK (retired_on GLOB '????-??-??'),
  life_months INTEGER CHECK (life_months BETWEEN 1 AND 600),
  renewal_price INTEGER CHECK (renewal_price BETWEEN 0 AND 1000000000000),
  watts REAL CHECK (watts BETWEEN 0 AND 5000),
  hours_per_day REAL CHECK (hours_per_day BETWEEN 0 AND 24),
  duty REAL CHECK (duty BETWEEN 0 AND 1),
  place TEXT CHECK (place IN ('warm', 'cool', 'moist', 'high', 'under-water')),
  regulates_id INTEGER REFERENCES fittings (id),
  guards_id INTEGER REFERENCES fittings (id),
  is_out_of_reach INTEGER NOT NULL CHECK (is_out_of_reach IN (0, 1)),
  lamp TEXT CHECK (lamp IS NULL OR json_valid(lamp)),
  distance_mm REAL CHECK (distance_mm BETWEEN 1 AND 20000),
  distance_typed TEXT NOT NULL,
  mesh_share REAL NOT NULL CHECK (mesh_share BETWEEN 0 AND 1),
  expects TEXT NOT NULL CHECK (json_valid(expects)),
  outdoors TEXT CHECK (outdoors IS NULL OR json_valid(outdoors)),
  when_box_replaced TEXT NOT NULL CHECK (when_box_replaced IN ('moves', 'stays-behind')),
  upgrade_id INTEGER REFERENCES upgrades (id),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
CREATE INDEX fittings_by_enclosure ON fittings (enclosure_id);

CREATE TABLE readings (
  id INTEGER PRIMARY KEY,
  enclosure_id INTEGER NOT NULL REFERENCES enclosures (id),
  kind TEXT NOT NULL,
  evidence TEXT NOT NULL CHECK (evidence IN ('measured', 'estimated', 'unknown')),
  value REAL,
  typed TEXT NOT NULL,
  taken_on TEXT NOT NULL CHECK (taken_on GLOB '????-??-??'),
  hour INTEGER CHECK (hour BETWEEN 0 AND 23),
  room_celsius REAL CHECK (room_celsius BETWEEN -30 AND 60),
  room_typed TEXT NOT NULL,
  instrument TEXT NOT NULL CHECK (length(instrument) <= 120),
  accuracy REAL CHECK (accuracy >= 0),
  notes TEXT NOT NULL CHECK (length(notes) <= 4000),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1,
  CHECK ((evidence = 'unknown') = (value IS NULL))
) STRICT;
CREATE INDEX readings_by_enclosure ON readings (enclosure_id, kind, taken_on);

CREATE TABLE answers (
  enclosure_id INTEGER NOT NULL REFERENCES enclosures (id),
  check_name TEXT NOT NULL,
  answer TEXT NOT NULL CHECK (answer IN ('yes', 'no', 'unknown')),
  answered_on TEXT NOT NULL CHECK (answered_on GLOB '????-??-??'),
  PRIMARY KEY (enclosure_id, check_name)
) STRICT;

CREATE TABLE upgrades (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 160),
  status TEXT NOT NULL CHECK (status IN ('wanted', 'refused', 'ordered', 'fitted')),
  origin TEXT NOT NULL CHECK (origin IN ('proposed', 'own')),
  proposal_key TEXT,
  price_low INTEGER NOT NULL CHECK (price_low BETWEEN 0 AND 1000000000000),
  price_high INTEGER NOT NULL CHECK (price_high BETWEEN price_low AND 1000000000000),
  monthly_cost INTEGER NOT NULL CHECK (monthly_cost BETWEEN -1000000000000 AND 1000000000000),
  life_months INTEGER CHECK (life_months BETWEEN 1 AND 600),
  renewal_price INTEGER CHECK (renewal_price BETWEEN 0 AND 1000000000000),
  lead_months INTEGER NOT NULL CHECK (lead_months BETWEEN 0 AND 36),
  earliest_month TEXT CHECK (earliest_month GLOB '????-??'),
  pinned_month TEXT CHECK (pinned_month GLOB '????-??'),
  requires TEXT NOT NULL CHECK (json_valid(requires)),
  group_name TEXT,
  proceeds_amount INTEGER CHECK (proceeds_amount BETWEEN 0 AND 1000000000000),
  proceeds_after INTEGER CHECK (proceeds_after BETWEEN 0 AND 36),
  changes TEXT NOT NULL CHECK (json_valid(changes)),
  notes TEXT NOT NULL CHECK (length(notes) <= 4000),
  bought_on TEXT CHECK (bought_on GLOB '????-??-??'),
  paid INTEGER CHECK (paid BETWEEN 0 AND 1000000000000),
  arrives_month TEXT CHECK (arrives_month GLOB '????-??'),
  fitted_on TEXT CHECK (fitted_on GLOB '????-??-??'),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1,
  CHECK ((proceeds_amount IS NULL) = (proceeds_after IS NULL)),
  CHECK ((renewal_price IS NULL) OR (life_months IS NOT NULL)),
  CHECK (status NOT IN ('ordered', 'fitted') OR (bought_on IS NOT NULL AND paid IS NOT NULL))
) STRICT;
CREATE UNIQUE INDEX upgrades_by_proposal ON upgrades (proposal_key)
  WHERE proposal_key IS NOT NULL AND removed_on IS NULL AND status <> 'fitted';

CREATE TABLE one_off_sums (
  id INTEGER PRIMARY KEY,
  month TEXT NOT NULL CHECK (month GLOB '????-??'),
  amount INTEGER NOT NULL CHECK (amount BETWEEN -1000000000000 AND 1000000000000),
  note TEXT NOT NULL CHECK (length(note) BETWEEN 1 AND 160),
  can_wait INTEGER NOT NULL CHECK (can_wait IN (0, 1)),
  removed_on TEXT,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;

CREATE TABLE plans (
  id INTEGER PRIMARY KEY,
  made_on TEXT NOT NULL CHECK (made_on GLOB '????-??-??'),
  first_month TEXT NOT NULL CHECK (first_month GLOB '????-??'),
  problem TEXT NOT NULL CHECK (json_valid(problem)),
  answer TEXT NOT NULL CHECK (json_valid(answer)),
  roadmap TEXT NOT NULL CHECK (json_valid(roadmap)),
  ledger_version INTEGER NOT NULL
) STRICT;

-- Counts every change that a plan depends on, so that a plan made from older facts can say so.
CREATE TABLE ledger_state (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  version INTEGER NOT NULL
) STRICT;
INSERT INTO ledger_state (id, version) VALUES (1, 1);

CREATE TABLE events (
  id INTEGER PRIMARY KEY,
  happened_on TEXT NOT NULL CHECK (happened_on GLOB '????-??-??'),
  what TEXT NOT NULL CHECK (what IN ('bought', 'not-bought', 'fitted', 'plan-made', 'cash-counted', 'renewed')),
  upgrade_id INTEGER REFERENCES upgrades (id),
  amount INTEGER,
  note TEXT NOT NULL
) STRICT;
