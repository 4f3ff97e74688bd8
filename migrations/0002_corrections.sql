-- Migration 2: standing corrections. What a fitting showed of a wearer's body (waist to be let out, back to be
-- longer) is kept as a correction of that body, applied to the next garments, and ended by a row when it no longer holds.
-- The conventions are those of migration 1.

-- Append-only. PERSONAL. What was seen of a body.
CREATE TABLE correction (
    id         INTEGER PRIMARY KEY,
    wearer_id  INTEGER NOT NULL REFERENCES client (id),
    garment_id INTEGER REFERENCES garment (id),       -- on which it was seen; NULL: known from elsewhere
    fitting_id INTEGER REFERENCES fitting (id),       -- at which it was seen; NULL: at none that was arranged
    day        TEXT    NOT NULL,                      -- on which it was seen
    dimension  TEXT    NOT NULL,                      -- key of the body dimension
    side       TEXT    NOT NULL CHECK (side IN ('both', 'left', 'right')), -- the wearer's own
    nm         INTEGER NOT NULL CHECK (nm <> 0),      -- above nought: let out, wider, longer; below: taken in, narrower, shorter
    words      TEXT    NOT NULL,                      -- anything else about it
    who        INTEGER NOT NULL REFERENCES person (id),
    at_ms      INTEGER NOT NULL
) STRICT;
CREATE INDEX correction_wearer ON correction (wearer_id, day, id);

-- Append-only. PERSONAL. The end of a correction; it ends once, and a new one is noted if it comes back.
CREATE TABLE correction_end (
    id            INTEGER PRIMARY KEY,
    correction_id INTEGER NOT NULL UNIQUE REFERENCES correction (id),
    day           TEXT    NOT NULL,                   -- from which it no longer counts for new garments
    reason        TEXT    NOT NULL,                   -- why
    who           INTEGER NOT NULL REFERENCES person (id),
    at_ms         INTEGER NOT NULL
) STRICT;

-- The corrections that were looked at for a garment. A correction without a row was noted later: it waits until somebody
-- takes it or leaves it, so that nothing promised moves by itself.
CREATE TABLE garment_correction (
    owner INTEGER NOT NULL REFERENCES garment (id),
    key   INTEGER NOT NULL REFERENCES correction (id),
    value INTEGER NOT NULL CHECK (value IN (0, 1)),   -- 1: the garment is drafted with it; 0: it was left out
    PRIMARY KEY (owner, key)
) STRICT, WITHOUT ROWID;
CREATE INDEX garment_correction_key ON garment_correction (key);

-- Append-only. PERSONAL. The corrections with which a garment was cut, in full: the body values of the cut record are
-- those of the tape.
CREATE TABLE cut_correction (
    cut_id    INTEGER NOT NULL REFERENCES cut_record (id),
    place     INTEGER NOT NULL,
    dimension TEXT    NOT NULL,                       -- key of the body dimension
    side      TEXT    NOT NULL CHECK (side IN ('both', 'left', 'right')),
    nm        INTEGER NOT NULL,
    words     TEXT    NOT NULL,                       -- where it came from, as shown
    PRIMARY KEY (cut_id, place)
) STRICT, WITHOUT ROWID;

-- Append-only. PERSONAL. The figure notes by which a garment was drafted when it was cut.
CREATE TABLE cut_note (
    cut_id INTEGER NOT NULL REFERENCES cut_record (id),
    place  INTEGER NOT NULL,
    note   TEXT    NOT NULL,                          -- key of the figure note: stooped, low_shoulder_left
    PRIMARY KEY (cut_id, place)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER correction_is_not_changed BEFORE UPDATE ON correction
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'correction is append-only'); END;
CREATE TRIGGER correction_is_not_removed BEFORE DELETE ON correction
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'correction is append-only'); END;
CREATE TRIGGER correction_end_is_not_changed BEFORE UPDATE ON correction_end
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'correction_end is append-only'); END;
CREATE TRIGGER correction_end_is_not_removed BEFORE DELETE ON correction_end
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'correction_end is append-only'); END;
CREATE TRIGGER cut_correction_is_not_changed BEFORE UPDATE ON cut_correction
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'cut_correction is append-only'); END;
CREATE TRIGGER cut_correction_is_not_removed BEFORE DELETE ON cut_correction
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'cut_correction is append-only'); END;
CREATE TRIGGER cut_note_is_not_changed BEFORE UPDATE ON cut_note
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'cut_note is append-only'); END;
CREATE TRIGGER cut_note_is_not_removed BEFORE DELETE ON cut_note
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'cut_note is append-only'); END;
