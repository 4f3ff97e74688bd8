-- Migration 4: lays. The lay of a garment may use a fold across its cloth.
-- The conventions are those of migration 1.

ALTER TABLE garment ADD COLUMN cloth_fold_across INTEGER NOT NULL DEFAULT 0 CHECK (cloth_fold_across IN (0, 1));
                                                      -- a fold across is tried beside folded and open; not for cloth with a nap
