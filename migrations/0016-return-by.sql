-- The last day on which a purchase can go back to where it was bought; unknown for every purchase so far.
ALTER TABLE upgrades ADD COLUMN return_by TEXT CHECK (return_by GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]');
