-- What no study can decide for the keeper: how much each need weighs, how far a score may lie above a need, how much the worst off count,
-- and how much a change of plan must gain. Ledgers kept before go on with the values they had all along, which were the defaults.
ALTER TABLE ledger ADD COLUMN need_weights TEXT NOT NULL
  DEFAULT '{"safety":10,"heat":20,"uv":15,"humidity":10,"space":20,"hides":15,"enrichment":10,"water":10}'
  CHECK (json_valid(need_weights));
ALTER TABLE ledger ADD COLUMN allowances TEXT NOT NULL
  DEFAULT '{"safety":30,"heat":30,"uv":30,"humidity":30,"space":50,"hides":50,"enrichment":70,"water":30}'
  CHECK (json_valid(allowances));
ALTER TABLE ledger ADD COLUMN priority TEXT NOT NULL DEFAULT '[3,2,1]' CHECK (json_valid(priority));
ALTER TABLE ledger ADD COLUMN change_threshold INTEGER NOT NULL DEFAULT 10 CHECK (change_threshold BETWEEN 0 AND 1000);
