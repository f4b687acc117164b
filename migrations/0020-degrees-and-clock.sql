-- Degrees apart from the other units, since many who measure in inches read their instruments in Celsius and the other way round, and the
-- clock that hours of the day are written by. What was kept stays as it was shown: inches went with Fahrenheit, and every hour by 24.
ALTER TABLE ledger ADD COLUMN degrees TEXT NOT NULL DEFAULT 'C' CHECK (degrees IN ('C', 'F'));
ALTER TABLE ledger ADD COLUMN clock_hours INTEGER NOT NULL DEFAULT 24 CHECK (clock_hours IN (12, 24));
UPDATE ledger SET degrees = 'F' WHERE unit_system = 'imperial';
