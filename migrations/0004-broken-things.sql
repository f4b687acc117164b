-- The day on which a fitted thing last broke, and what happened then. The list of what can happen is part of the table of events, so that
-- table is written anew.
ALTER TABLE fittings ADD COLUMN broken_on TEXT CHECK (broken_on GLOB '????-??-??');

CREATE TABLE events_with_failures (
  id INTEGER PRIMARY KEY,
  happened_on TEXT NOT NULL CHECK (happened_on GLOB '????-??-??'),
  what TEXT NOT NULL CHECK (
    what IN ('bought', 'not-bought', 'fitted', 'plan-made', 'cash-counted', 'renewed', 'broke', 'works-after-all')
  ),
  upgrade_id INTEGER REFERENCES upgrades (id),
  amount INTEGER,
  note TEXT NOT NULL
) STRICT;
INSERT INTO events_with_failures (id, happened_on, what, upgrade_id, amount, note)
  SELECT id, happened_on, what, upgrade_id, amount, note FROM events;
DROP TABLE events;
ALTER TABLE events_with_failures RENAME TO events;
