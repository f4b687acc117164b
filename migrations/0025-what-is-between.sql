-- Whether nobody looked what is between a lamp and the animal: mesh_share then says nothing.
ALTER TABLE fittings ADD COLUMN mesh_unknown INTEGER NOT NULL DEFAULT 0 CHECK (mesh_unknown IN (0, 1));
