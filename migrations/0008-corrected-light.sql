-- What the light model alone said of a promised UVI, so that a correction is never learnt from promises it was part of; and what a reading
-- made of that model before something was moved. All that was promised until now came from the model alone.
ALTER TABLE predictions ADD COLUMN model REAL CHECK (model >= 0);
UPDATE predictions SET model = predicted WHERE kind = 'uvi-basking';

ALTER TABLE readings ADD COLUMN light_ratio REAL CHECK (light_ratio >= 0);
