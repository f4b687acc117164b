-- What was paid for a purchase and when can be put right. That it was is one of the things that happen, so the table of events is written
-- anew; a correction of a closed month that follows from it says of which purchase it is.
CREATE TABLE events_with_corrections (
  id INTEGER PRIMARY KEY,
  happened_on TEXT NOT NULL CHECK (happened_on GLOB '????-??-??'),
  what TEXT NOT NULL CHECK (
    what IN (
      'bought', 'not-bought', 'corrected', 'fitted', 'plan-made', 'cash-counted', 'renewed', 'broke', 'works-after-all'
    )
  ),
  upgrade_id INTEGER REFERENCES upgrades (id),
  amount INTEGER,
  note TEXT NOT NULL
) STRICT;
INSERT INTO events_with_corrections (id, happened_on, what, upgrade_id, amount, note)
  SELECT id, happened_on, what, upgrade_id, amount, note FROM events;
DROP TABLE events;
ALTER TABLE events_with_corrections RENAME TO events;
CREATE INDEX events_by_kind ON events (what, happened_on, id);

ALTER TABLE month_corrections ADD COLUMN upgrade_id INTEGER REFERENCES upgrades (id);
