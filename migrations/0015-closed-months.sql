-- Months that were closed, each kept as it was; corrections of them, each with a day of its own; what went back to a shop; and the facts
-- that each plan was made from, so that what became of a month can be held against them.
CREATE TABLE plan_facts (
  plan_id INTEGER PRIMARY KEY REFERENCES plans (id),
  facts TEXT NOT NULL CHECK (json_valid(facts))
) STRICT;
CREATE TABLE closed_months (
  id INTEGER PRIMARY KEY,
  month TEXT NOT NULL UNIQUE CHECK (month GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]'),
  closed_on TEXT NOT NULL CHECK (closed_on GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
  record TEXT NOT NULL CHECK (json_valid(record))
) STRICT;
CREATE TABLE month_corrections (
  id INTEGER PRIMARY KEY,
  month TEXT NOT NULL REFERENCES closed_months (month),
  entered_on TEXT NOT NULL CHECK (entered_on GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
  amount INTEGER,
  note TEXT NOT NULL CHECK (note <> '')
) STRICT;
CREATE TABLE returned_purchases (
  id INTEGER PRIMARY KEY,
  upgrade_id INTEGER NOT NULL REFERENCES upgrades (id),
  name TEXT NOT NULL,
  bought_on TEXT NOT NULL CHECK (bought_on GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
  paid INTEGER NOT NULL CHECK (paid >= 0),
  returned_on TEXT NOT NULL CHECK (returned_on GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
  refund INTEGER NOT NULL CHECK (refund BETWEEN 0 AND paid),
  why TEXT NOT NULL CHECK (why IN ('failed', 'returned')),
  was_fitted INTEGER NOT NULL CHECK (was_fitted IN (0, 1))
) STRICT;
