-- The day on which a vet last checked an animal, asked for where a cooling or a winter rest is dated; and what state it is in from one day
-- to another: gravid or in quarantine, without a last day until further notice.
ALTER TABLE animals ADD COLUMN vet_checked_on TEXT CHECK (vet_checked_on GLOB '????-??-??');
ALTER TABLE animals ADD COLUMN states TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(states));
