-- The day on which planning put an upgrade on the list by itself, because it ends a severe shortfall; none once the keeper wanted it.
ALTER TABLE upgrades ADD COLUMN unasked_since TEXT CHECK (unasked_since GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]');
