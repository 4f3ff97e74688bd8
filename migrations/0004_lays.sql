-- Migration 4: lays. The lay of a garment may use a fold across its cloth; each of its cloths has an accepted lay and holds
-- a length on the shelf; several garments may be cut from one joint lay.
-- The conventions are those of migration 1.

ALTER TABLE garment ADD COLUMN cloth_fold_across INTEGER NOT NULL DEFAULT 0 CHECK (cloth_fold_across IN (0, 1));
                                                      -- a fold across is tried beside folded and open; not for cloth with a nap

-- Each cloth of a garment has a lay of its own.
ALTER TABLE lay ADD COLUMN cloth TEXT NOT NULL DEFAULT 'main' CHECK (cloth IN ('main', 'lining', 'interfacing'));

-- Append-only. The garments of a lay in the order in which their pieces are numbered; several when they are cut from one
-- cloth together. The first is the one that lay.garment_id names.
CREATE TABLE laid_garment (
    lay_id     INTEGER NOT NULL REFERENCES lay (id),
    place      INTEGER NOT NULL CHECK (place >= 1),
    garment_id INTEGER NOT NULL REFERENCES garment (id),
    PRIMARY KEY (lay_id, place),
    UNIQUE (lay_id, garment_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX laid_garment_lay ON laid_garment (garment_id, lay_id);
INSERT INTO laid_garment SELECT id, 1, garment_id FROM lay;
CREATE TRIGGER laid_garment_is_not_changed BEFORE UPDATE ON laid_garment
BEGIN SELECT RAISE(ABORT, 'laid_garment is append-only'); END;
CREATE TRIGGER laid_garment_is_not_removed BEFORE DELETE ON laid_garment
BEGIN SELECT RAISE(ABORT, 'laid_garment is append-only'); END;

-- What of a length is held for a lay that was accepted; gone when its garments are cut, let go or laid anew. It was held by
-- garment, one length each; now each cloth of a garment holds its own, and a joint lay one for all its garments.
CREATE TABLE held_by_lay (
    id        INTEGER PRIMARY KEY,
    lay_id    INTEGER NOT NULL UNIQUE REFERENCES lay (id),
    length_id INTEGER NOT NULL REFERENCES cloth_length (id),
    nm        INTEGER NOT NULL CHECK (nm > 0),
    who       INTEGER NOT NULL REFERENCES person (id),
    at_ms     INTEGER NOT NULL
) STRICT;
INSERT INTO held_by_lay SELECT id, lay_id, length_id, nm, who, at_ms FROM cloth_held;
DROP TABLE cloth_held;
ALTER TABLE held_by_lay RENAME TO cloth_held;
CREATE INDEX held_length ON cloth_held (length_id);
