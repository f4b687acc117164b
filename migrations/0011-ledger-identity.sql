-- What tells this ledger from every other one, so that the entries it puts into a calendar are its own: 32 hexadecimal digits of chance.
ALTER TABLE ledger_state ADD COLUMN identity TEXT NOT NULL DEFAULT '';
UPDATE ledger_state SET identity = lower(hex(randomblob(16)));
