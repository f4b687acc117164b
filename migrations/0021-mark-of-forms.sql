-- Carried by every form once the whole ledger was replaced by another one, so that a form made from the old rows is told from one made from
-- these: chance, drawn anew each time. Empty while that never happened.
CREATE TABLE form_mark (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  mark TEXT NOT NULL
) STRICT;
INSERT INTO form_mark (id, mark) VALUES (1, '');
