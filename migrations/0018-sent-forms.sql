-- Forms that had their effect, each by the digest of what was sent, with where it led: written in the transaction of the effect itself, so
-- that a form sent again after a stop of the program has no second one.
CREATE TABLE sent_forms (
  id INTEGER PRIMARY KEY,
  digest TEXT NOT NULL UNIQUE CHECK (length(digest) = 64),
  led_to TEXT NOT NULL CHECK (led_to LIKE '/%')
) STRICT;
