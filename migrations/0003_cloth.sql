-- Migration 3: cloth. What is known of the cloth of a garment grows (nap, repeats, shrinkage each way, flaws, further
-- lengths, lining and interfacing as cloths of their own), and the shop's own cloths are kept: what lies on the shelf,
-- what came and went, what is held for a garment.
-- The conventions are those of migration 1.

-- A cloth of the shop: one kind, colour and width. How much of it there is stands in its lengths.
CREATE TABLE cloth (
    id               INTEGER PRIMARY KEY,
    version          INTEGER NOT NULL DEFAULT 1,
    name             TEXT    NOT NULL,                -- wax print, indigo shells
    words            TEXT    NOT NULL,                -- fibre, weight, which side is the face
    width_nm         INTEGER CHECK (width_nm > 0),    -- selvedge to selvedge; NULL: not measured yet
    nap              TEXT    NOT NULL CHECK (nap IN ('free', 'per_garment', 'one')),
    repeat_along_nm  INTEGER CHECK (repeat_along_nm > 0),  -- of a print, stripe or check, along the cloth; NULL: none to match
    repeat_across_nm INTEGER CHECK (repeat_across_nm > 0), -- and across it
    shrink_along     INTEGER CHECK (shrink_along  BETWEEN 0 AND 200), -- thousandths; NULL: the shop's one figure
    shrink_across    INTEGER CHECK (shrink_across BETWEEN 0 AND 200),
    turns_over       INTEGER NOT NULL CHECK (turns_over IN (0, 1)), -- both sides are alike
    minor            INTEGER CHECK (minor >= 0),      -- price by yard or metre
    currency         TEXT    NOT NULL,
    priced_by        TEXT    NOT NULL CHECK (priced_by IN ('yard', 'metre')),
    from_whom        TEXT    NOT NULL,                -- where it is bought
    retired          INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1)) -- offered no more; its history stays
) STRICT;
CREATE INDEX cloth_name ON cloth (name COLLATE NOCASE, id);

-- One length that lies there by itself: a bolt, a cut length, an offcut. How long it is, its moves say.
CREATE TABLE cloth_length (
    id       INTEGER PRIMARY KEY,
    version  INTEGER NOT NULL DEFAULT 1,
    cloth_id INTEGER NOT NULL REFERENCES cloth (id),
    day      TEXT    NOT NULL,                        -- on which it came
    washed   INTEGER CHECK (washed IN (0, 1)),        -- NULL: nobody knows
    flaws    TEXT    NOT NULL,                        -- in words, where
    place    TEXT    NOT NULL                         -- shelf, drawer
) STRICT;
CREATE INDEX length_cloth ON cloth_length (cloth_id, id);

-- Append-only. What came to a length and went from it; their sum is what there is, and never below nought.
CREATE TABLE cloth_move (
    id         INTEGER PRIMARY KEY,
    length_id  INTEGER NOT NULL REFERENCES cloth_length (id),
    kind       TEXT    NOT NULL CHECK (kind IN ('bought', 'measured', 'cut', 'offcut', 'given')),
    nm         INTEGER NOT NULL,                      -- by how much it changed: above nought came, below went
    day        TEXT    NOT NULL,
    garment_id INTEGER REFERENCES garment (id),       -- for which it was cut, or of which it is left
    words      TEXT    NOT NULL,                      -- PERSONAL as any words about a garment
    who        INTEGER NOT NULL REFERENCES person (id),
    at_ms      INTEGER NOT NULL,
    CHECK (CASE kind WHEN 'measured' THEN 1 WHEN 'bought' THEN nm > 0 WHEN 'offcut' THEN nm > 0 ELSE nm < 0 END)
) STRICT;
CREATE INDEX cloth_move_length  ON cloth_move (length_id, id);
CREATE INDEX cloth_move_garment ON cloth_move (garment_id) WHERE garment_id IS NOT NULL;

-- What of a length is held for a garment whose lay was accepted; gone when it is cut, let go or laid anew.
CREATE TABLE cloth_held (
    id         INTEGER PRIMARY KEY,
    garment_id INTEGER NOT NULL UNIQUE REFERENCES garment (id),
    lay_id     INTEGER NOT NULL REFERENCES lay (id),
    length_id  INTEGER NOT NULL REFERENCES cloth_length (id),
    nm         INTEGER NOT NULL CHECK (nm > 0),
    who        INTEGER NOT NULL REFERENCES person (id),
    at_ms      INTEGER NOT NULL
) STRICT;
CREATE INDEX held_length ON cloth_held (length_id);

-- What is known of the cloth of a garment.
ALTER TABLE garment ADD COLUMN cloth_nap TEXT NOT NULL DEFAULT 'free' CHECK (cloth_nap IN ('free', 'per_garment', 'one'));
                                                      -- free: pieces may be turned end for end; per_garment: those of one
                                                      -- garment point the same way; one: all do
UPDATE garment SET cloth_nap = 'one' WHERE cloth_one_way = 1;
ALTER TABLE garment DROP COLUMN cloth_one_way;        -- the nap says it
ALTER TABLE garment ADD COLUMN cloth_repeat_along_nm INTEGER CHECK (cloth_repeat_along_nm > 0);   -- NULL: nothing to match along it
ALTER TABLE garment ADD COLUMN cloth_repeat_across_nm INTEGER CHECK (cloth_repeat_across_nm > 0); -- NULL: nothing to match across it
ALTER TABLE garment ADD COLUMN cloth_shrink_along INTEGER CHECK (cloth_shrink_along BETWEEN 0 AND 200);   -- thousandths; NULL: the
ALTER TABLE garment ADD COLUMN cloth_shrink_across INTEGER CHECK (cloth_shrink_across BETWEEN 0 AND 200); -- shop's one figure
ALTER TABLE garment ADD COLUMN cloth_turns_over INTEGER NOT NULL DEFAULT 0 CHECK (cloth_turns_over IN (0, 1));
                                                      -- both sides alike, and she agrees that pieces lie wrong side up
ALTER TABLE garment ADD COLUMN cloth_skew_nm INTEGER CHECK (cloth_skew_nm BETWEEN 0 AND 76200000); -- lost at each end to square it,
                                                      -- at most 3 in; NULL: what the shop loses usually
ALTER TABLE garment ADD COLUMN cloth_spare_nm INTEGER CHECK (cloth_spare_nm >= 0); -- for mistakes, above the need; NULL: none
ALTER TABLE garment ADD COLUMN cloth_flaws TEXT NOT NULL DEFAULT ''; -- PERSONAL as any words about the garment: where they are
ALTER TABLE garment ADD COLUMN cloth_stock_id INTEGER REFERENCES cloth (id); -- the shop's cloth that it is cut from; NULL: none of the shop's
CREATE INDEX garment_stock ON garment (cloth_stock_id) WHERE cloth_stock_id IS NOT NULL;

-- Lining and interfacing of a garment, as cloths of their own.
CREATE TABLE garment_lining (
    owner         INTEGER NOT NULL REFERENCES garment (id),
    key           TEXT    NOT NULL CHECK (key IN ('lining', 'interfacing')),
    words         TEXT    NOT NULL,                   -- PERSONAL as any words about the garment
    width_nm      INTEGER CHECK (width_nm > 0),
    length_nm     INTEGER CHECK (length_nm >= 0),     -- how much there is
    brought       INTEGER NOT NULL CHECK (brought IN (0, 1)),
    washed        INTEGER CHECK (washed IN (0, 1)),   -- NULL: nobody knows
    shrink_along  INTEGER CHECK (shrink_along  BETWEEN 0 AND 200), -- thousandths; NULL: the shop's one figure
    shrink_across INTEGER CHECK (shrink_across BETWEEN 0 AND 200),
    minor         INTEGER CHECK (minor >= 0),         -- price by yard or metre, in the garment's currency
    priced_by     TEXT    NOT NULL CHECK (priced_by IN ('yard', 'metre')),
    stock_id      INTEGER REFERENCES cloth (id),      -- the shop's cloth that it is cut from
    PRIMARY KEY (owner, key)
) STRICT, WITHOUT ROWID;
CREATE INDEX lining_stock ON garment_lining (stock_id) WHERE stock_id IS NOT NULL;

-- Further lengths of a garment's cloths beside the first: remnants.
CREATE TABLE garment_length (
    owner INTEGER NOT NULL REFERENCES garment (id),
    key   TEXT    NOT NULL,                           -- the cloth and which further length of it: main.02, lining.01
    value INTEGER NOT NULL CHECK (value > 0),         -- nm
    PRIMARY KEY (owner, key)
) STRICT, WITHOUT ROWID;

-- What must be cut from the bolt for an accepted lay, with squaring and shrinkage; NULL: accepted before this was kept.
ALTER TABLE lay ADD COLUMN need_nm INTEGER CHECK (need_nm > 0);

CREATE TRIGGER cloth_move_is_not_changed BEFORE UPDATE ON cloth_move
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'cloth_move is append-only'); END;
CREATE TRIGGER cloth_move_is_not_removed BEFORE DELETE ON cloth_move
BEGIN SELECT RAISE(ABORT, 'cloth_move is append-only'); END;
