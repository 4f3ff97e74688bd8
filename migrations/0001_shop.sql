-- Migration 1: the whole book of a shop.
--
-- Conventions, held for good:
--   id        integer key, inside only; people see an order number and a letter
--   version   counts edits of rows that people edit; an edit names the version it saw
--   *_ms      an instant: milliseconds since 1970-01-01T00:00Z
--   day       a local calendar day of the shop, TEXT yyyy-mm-dd; time TEXT hh:mm
--   *_nm      a length in whole nanometres (1/64 in = 396875, 0.1 mm = 100000)
--   minor     money in whole minor units of the currency beside it (ISO 4217)
--   who       the person who did it
--   stage, kind, source, …  stable keys of src/shop, checked here too
-- All tables are STRICT. Tables that are only ever added to have triggers at the end.
-- Where personal data lives is marked PERSONAL; src/store/forget.rs empties exactly those.

-- Who works here. Row 1 is the owner; src/store/seed.rs writes it in the transaction of this migration,
-- so `who` is always a key.
CREATE TABLE person (
    id        INTEGER PRIMARY KEY,
    version   INTEGER NOT NULL DEFAULT 1,
    name      TEXT    NOT NULL,                       -- as the workroom says it
    owner     INTEGER NOT NULL CHECK (owner IN (0, 1)),
    left_work INTEGER NOT NULL DEFAULT 0 CHECK (left_work IN (0, 1)) -- works here no longer; the name stays on old rows
) STRICT;

-- One row, also written by src/store/seed.rs: what the shop is and how it works.
CREATE TABLE settings (
    id                 INTEGER PRIMARY KEY CHECK (id = 1),
    version            INTEGER NOT NULL DEFAULT 1,
    opened             INTEGER NOT NULL CHECK (opened IN (0, 1)), -- the questions of the first run were answered
    shop_name          TEXT    NOT NULL,
    step               TEXT    NOT NULL CHECK (step IN ('eighth', 'sixteenth', 'millimetre')), -- unit and smallest division shown
    currency           TEXT    NOT NULL CHECK (length(currency) = 3),  -- the shop's one currency
    zone               TEXT    NOT NULL,              -- IANA time zone of fittings
    monday             INTEGER NOT NULL CHECK (monday    BETWEEN 0 AND 1440), -- working minutes of each weekday
    tuesday            INTEGER NOT NULL CHECK (tuesday   BETWEEN 0 AND 1440),
    wednesday          INTEGER NOT NULL CHECK (wednesday BETWEEN 0 AND 1440),
    thursday           INTEGER NOT NULL CHECK (thursday  BETWEEN 0 AND 1440),
    friday             INTEGER NOT NULL CHECK (friday    BETWEEN 0 AND 1440),
    saturday           INTEGER NOT NULL CHECK (saturday  BETWEEN 0 AND 1440),
    sunday             INTEGER NOT NULL CHECK (sunday    BETWEEN 0 AND 1440),
    hour_rate          INTEGER NOT NULL CHECK (hour_rate >= 0),         -- price of an hour, minor units
    deposit_percent    INTEGER NOT NULL CHECK (deposit_percent BETWEEN 0 AND 100),
    promise_percent    INTEGER NOT NULL CHECK (promise_percent BETWEEN 1 AND 100),
    squaring_nm        INTEGER NOT NULL CHECK (squaring_nm >= 0),       -- lost at each end of a cloth
    selvedge_nm        INTEGER NOT NULL CHECK (selvedge_nm >= 0),       -- lost at each side
    selling_step       TEXT    NOT NULL,              -- step in which cloth is sold
    shrink_thousandths INTEGER NOT NULL CHECK (shrink_thousandths BETWEEN 0 AND 200), -- of unwashed cloth
    sheet              TEXT    NOT NULL CHECK (sheet IN ('a4', 'letter')),
    base_url           TEXT    NOT NULL,              -- for codes on paper; empty when unknown
    shop_uid           TEXT    NOT NULL               -- random, so that calendar entries of two shops never clash
) STRICT;

-- Days on which nobody works.
CREATE TABLE closed_day (
    owner INTEGER NOT NULL REFERENCES settings (id),  -- the one row
    key   TEXT    NOT NULL,                           -- the day
    value TEXT    NOT NULL,                           -- why
    PRIMARY KEY (owner, key)
) STRICT, WITHOUT ROWID;

-- The shop's allowances by name; a style, a garment or an edge may differ.
CREATE TABLE allowance (
    owner INTEGER NOT NULL REFERENCES settings (id),  -- the one row
    key   TEXT    NOT NULL,                           -- side_seam, hem, …
    value INTEGER NOT NULL CHECK (value >= 0),        -- nm
    PRIMARY KEY (owner, key)
) STRICT, WITHOUT ROWID;

-- PERSONAL. Who pays, who is measured, or both. A stand or a size is a client too.
CREATE TABLE client (
    id           INTEGER PRIMARY KEY,
    version      INTEGER NOT NULL DEFAULT 1,
    name         TEXT    NOT NULL,                    -- whole name, any script, one field
    known_as     TEXT    NOT NULL,
    phone        TEXT    NOT NULL,                    -- as typed
    phone_shared INTEGER NOT NULL CHECK (phone_shared IN (0, 1)), -- messages then name no work and no price
    email        TEXT    NOT NULL,
    note         TEXT    NOT NULL,
    fit_notes    TEXT    NOT NULL,                    -- standing notes on fit
    wearer       TEXT    NOT NULL CHECK (wearer IN ('unsaid', 'woman', 'man', 'child')),
    find         TEXT    NOT NULL,                    -- names, phone digits, mail in small letters: what is searched
    forgotten_ms INTEGER                              -- when all that is personal was emptied; NULL usually
) STRICT;
-- Lists go by name; the covering one is what a search reads.
CREATE INDEX client_name ON client (name COLLATE NOCASE, id) WHERE forgotten_ms IS NULL;
CREATE INDEX client_find ON client (find, id);      -- whoever was forgotten has nothing to find

-- Dimensions that the shop adds to those of the book.
CREATE TABLE own_dimension (
    id      INTEGER PRIMARY KEY,
    version INTEGER NOT NULL DEFAULT 1,
    key     TEXT    NOT NULL UNIQUE,                  -- as readings name it
    term    TEXT    NOT NULL,
    how     TEXT    NOT NULL,                         -- where the tape goes
    kind    TEXT    NOT NULL CHECK (kind IN ('girth', 'length', 'width', 'finished')),
    retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))
) STRICT;

-- The style book. A style is its versions; `current_id` is the one that new orders take.
CREATE TABLE style (
    id         INTEGER PRIMARY KEY,
    version    INTEGER NOT NULL DEFAULT 1,
    key        TEXT    NOT NULL UNIQUE,               -- wrap_skirt
    current_id INTEGER REFERENCES style_version (id) DEFERRABLE INITIALLY DEFERRED,
    retired    INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))
) STRICT;

-- Append-only. The rules as text, exactly as typed.
CREATE TABLE style_version (
    id       INTEGER PRIMARY KEY,
    style_id INTEGER NOT NULL REFERENCES style (id),
    number   INTEGER NOT NULL CHECK (number >= 1),    -- first, second, …
    label    TEXT    NOT NULL,
    text     TEXT    NOT NULL,
    source   TEXT    NOT NULL CHECK (source IN ('book', 'own')),
    edition  TEXT    NOT NULL,                        -- edition of the book; empty for the shop's own
    who      INTEGER NOT NULL REFERENCES person (id),
    at_ms    INTEGER NOT NULL,
    UNIQUE (style_id, number)
) STRICT;

-- Orders are cancelled, never deleted.
CREATE TABLE shop_order (
    id              INTEGER PRIMARY KEY,
    version         INTEGER NOT NULL DEFAULT 1,
    year            INTEGER NOT NULL,                 -- year and count make 2026-0147
    count           INTEGER NOT NULL CHECK (count >= 1), -- without gaps within a year
    client_id       INTEGER NOT NULL REFERENCES client (id), -- who pays; the wearer stands at the garment
    taken           TEXT    NOT NULL,                 -- day
    promised        TEXT,                             -- day; NULL while nothing was promised
    event           TEXT    NOT NULL,                 -- PERSONAL: for what
    event_day       TEXT,
    note            TEXT    NOT NULL,                 -- PERSONAL
    standing        TEXT    NOT NULL DEFAULT 'open' CHECK (standing IN ('open', 'on_hold', 'cancelled')),
    standing_reason TEXT    NOT NULL DEFAULT '',      -- PERSONAL
    is_open         INTEGER NOT NULL DEFAULT 1 CHECK (is_open IN (0, 1)), -- kept beside the facts for lists: not cancelled and
                                                      -- something is still to be handed over; src/store/check.rs proves it
    taken_by        INTEGER NOT NULL REFERENCES person (id),
    at_ms           INTEGER NOT NULL,
    find            TEXT    NOT NULL,                 -- PERSONAL: number, event and garments in small letters: what is searched
    UNIQUE (year, count)
) STRICT;
CREATE INDEX order_client   ON shop_order (client_id, id);
CREATE INDEX order_promised ON shop_order (promised, id);
CREATE INDEX order_open     ON shop_order (promised, id) WHERE is_open = 1;
CREATE INDEX order_find     ON shop_order (find, id);

CREATE TABLE garment (
    id               INTEGER PRIMARY KEY,
    version          INTEGER NOT NULL DEFAULT 1,
    order_id         INTEGER NOT NULL REFERENCES shop_order (id),
    letter           INTEGER NOT NULL CHECK (letter BETWEEN 0 AND 701), -- 0 is A; without gaps within an order
    stage            TEXT    NOT NULL CHECK (stage IN ('booked', 'cloth_in', 'cut', 'tacked', 'fitted', 'sewn', 'finished', 'collected')),
                                                      -- kept beside the moves for lists: where the last move went
    cancelled        INTEGER NOT NULL DEFAULT 0 CHECK (cancelled IN (0, 1)),
    wearer_id        INTEGER NOT NULL REFERENCES client (id), -- who is measured
    what             TEXT    NOT NULL,                -- Wrap skirt
    style_version_id INTEGER REFERENCES style_version (id), -- pinned; NULL for work without a draft
    set_id           INTEGER REFERENCES measure_set (id),   -- pinned: the newest set that counts
    cloth_words      TEXT    NOT NULL,
    cloth_width_nm   INTEGER CHECK (cloth_width_nm > 0),
    cloth_length_nm  INTEGER CHECK (cloth_length_nm >= 0),
    cloth_brought    INTEGER NOT NULL CHECK (cloth_brought IN (0, 1)),
    cloth_comes      TEXT,                            -- day; NULL when it is here or nobody knows
    cloth_washed     INTEGER CHECK (cloth_washed IN (0, 1)), -- NULL: nobody knows
    cloth_one_way    INTEGER NOT NULL CHECK (cloth_one_way IN (0, 1)),
    cloth_minor      INTEGER CHECK (cloth_minor >= 0), -- price by yard or metre
    cloth_priced_by  TEXT    NOT NULL CHECK (cloth_priced_by IN ('yard', 'metre')),
    minor            INTEGER CHECK (minor >= 0),      -- agreed price; NULL until agreed
    currency         TEXT    NOT NULL,                -- of both prices
    fittings         INTEGER NOT NULL CHECK (fittings BETWEEN 0 AND 3),
    cut_minutes      INTEGER CHECK (cut_minutes >= 0), -- minutes reckoned with; all four or none
    sew_minutes      INTEGER CHECK (sew_minutes >= 0),
    fit_minutes      INTEGER CHECK (fit_minutes >= 0),
    finish_minutes   INTEGER CHECK (finish_minutes >= 0),
    cut_wait_hours    INTEGER NOT NULL DEFAULT 0 CHECK (cut_wait_hours >= 0),    -- hangs or dries after the cutting,
    tacked_wait_hours INTEGER NOT NULL DEFAULT 0 CHECK (tacked_wait_hours >= 0), -- after the sewing before the first fitting,
    sewn_wait_hours   INTEGER NOT NULL DEFAULT 0 CHECK (sewn_wait_hours >= 0),   -- after all sewing; reckoned with the minutes
    bag              TEXT    NOT NULL,                -- bag or bundle number
    place            TEXT    NOT NULL,                -- shelf or rail
    agreed_neck      TEXT    NOT NULL,                -- PERSONAL as any words about the garment
    agreed_sleeve    TEXT    NOT NULL,
    agreed_opening   TEXT    NOT NULL,
    agreed_other     TEXT    NOT NULL,
    UNIQUE (order_id, letter)
) STRICT;
CREATE INDEX garment_wearer ON garment (wearer_id, id);
CREATE INDEX garment_stage  ON garment (stage, order_id);
CREATE INDEX garment_set    ON garment (set_id) WHERE set_id IS NOT NULL;

-- The style's choices as typed, by key.
CREATE TABLE garment_choice (
    owner INTEGER NOT NULL REFERENCES garment (id),
    key   TEXT    NOT NULL,
    value TEXT    NOT NULL,
    PRIMARY KEY (owner, key)
) STRICT, WITHOUT ROWID;

-- PERSONAL. Finished lengths asked for, by dimension key.
CREATE TABLE garment_finished (
    owner INTEGER NOT NULL REFERENCES garment (id),
    key   TEXT    NOT NULL,
    value INTEGER NOT NULL,                           -- nm
    PRIMARY KEY (owner, key)
) STRICT, WITHOUT ROWID;

-- Allowances that differ from the shop's, by name.
CREATE TABLE garment_allowance (
    owner INTEGER NOT NULL REFERENCES garment (id),
    key   TEXT    NOT NULL,
    value INTEGER NOT NULL CHECK (value >= 0),        -- nm
    PRIMARY KEY (owner, key)
) STRICT, WITHOUT ROWID;

-- Append-only. Measures of one person on one day; may be partial.
CREATE TABLE measure_set (
    id         INTEGER PRIMARY KEY,
    wearer_id  INTEGER NOT NULL REFERENCES client (id),
    day        TEXT    NOT NULL,                      -- of the tape
    over_what  TEXT    NOT NULL,                      -- PERSONAL: over what it was taken
    source     TEXT    NOT NULL CHECK (source IN ('tape', 'paper', 'garment', 'import', 'estimate')),
    note       TEXT    NOT NULL,                      -- PERSONAL
    corrects   INTEGER REFERENCES measure_set (id),   -- the set that this one replaces
    garment_id INTEGER REFERENCES garment (id),       -- for which it was taken
    draft_key  TEXT    UNIQUE,                        -- key of the fitting draft it came from: sent twice, kept once
    who        INTEGER NOT NULL REFERENCES person (id),
    at_ms      INTEGER NOT NULL
) STRICT;
CREATE INDEX set_wearer ON measure_set (wearer_id, day, id);
CREATE INDEX set_corrects ON measure_set (corrects) WHERE corrects IS NOT NULL;

-- Append-only. PERSONAL. One reading of the tape. Dimensions are rows, so a shop can add its own.
-- waist_girth (natural waist) and navel_waist_girth are two dimensions and never stand for one another.
CREATE TABLE reading (
    set_id    INTEGER NOT NULL REFERENCES measure_set (id),
    place     INTEGER NOT NULL,                       -- order in which it was taken
    dimension TEXT    NOT NULL,
    number    INTEGER NOT NULL CHECK (number >= 1),   -- first, second, … reading; the last one counts
    nm        INTEGER NOT NULL CHECK (nm >= 0),
    typed     TEXT    NOT NULL,
    source    TEXT    NOT NULL CHECK (source IN ('tape', 'paper', 'garment', 'import', 'estimate')),
    PRIMARY KEY (set_id, place),
    UNIQUE (set_id, dimension, number)
) STRICT, WITHOUT ROWID;

-- Append-only. PERSONAL. Figure notes in words; those of a set replace those of older sets.
CREATE TABLE figure_note (
    set_id INTEGER NOT NULL REFERENCES measure_set (id),
    place  INTEGER NOT NULL,
    words  TEXT    NOT NULL,
    PRIMARY KEY (set_id, place)
) STRICT, WITHOUT ROWID;

-- PERSONAL. A fitting as it is being written down: changed freely, turned into a set by "done".
CREATE TABLE fitting_draft (
    id         INTEGER PRIMARY KEY,
    key        TEXT    NOT NULL UNIQUE,               -- made by the page, so that sending twice does no harm
    wearer_id  INTEGER NOT NULL REFERENCES client (id),
    garment_id INTEGER REFERENCES garment (id),
    who        INTEGER NOT NULL REFERENCES person (id),
    at_ms      INTEGER NOT NULL
) STRICT;
CREATE INDEX draft_wearer ON fitting_draft (wearer_id);
CREATE TABLE fitting_draft_field (
    owner INTEGER NOT NULL REFERENCES fitting_draft (id) ON DELETE CASCADE,
    key   TEXT    NOT NULL,                           -- name of the field
    value TEXT    NOT NULL,                           -- as typed
    PRIMARY KEY (owner, key)
) STRICT, WITHOUT ROWID;

-- Fittings that were arranged: local day and time in the shop's zone.
CREATE TABLE fitting (
    id         INTEGER PRIMARY KEY,
    version    INTEGER NOT NULL DEFAULT 1,
    order_id   INTEGER NOT NULL REFERENCES shop_order (id),
    garment_id INTEGER REFERENCES garment (id),       -- NULL: the order's garments together
    day        TEXT    NOT NULL,
    time       TEXT,                                  -- NULL: any time of the day
    minutes    INTEGER NOT NULL CHECK (minutes BETWEEN 0 AND 1440),
    state      TEXT    NOT NULL CHECK (state IN ('arranged', 'held', 'missed', 'called_off')),
    note       TEXT    NOT NULL                       -- PERSONAL
) STRICT;
CREATE INDEX fitting_day   ON fitting (day, time);
CREATE INDEX fitting_order ON fitting (order_id, day);

-- Append-only. Every move of a garment.
CREATE TABLE stage_move (
    id         INTEGER PRIMARY KEY,
    garment_id INTEGER NOT NULL REFERENCES garment (id),
    from_stage TEXT,                                  -- NULL: it was booked
    to_stage   TEXT    NOT NULL,
    reason     TEXT    NOT NULL,                      -- PERSONAL; required when it goes back
    who        INTEGER NOT NULL REFERENCES person (id),
    at_ms      INTEGER NOT NULL
) STRICT;
CREATE INDEX move_garment ON stage_move (garment_id, id);

-- Append-only. A payment is voided by a later row, never undone.
CREATE TABLE payment (
    id       INTEGER PRIMARY KEY,
    order_id INTEGER NOT NULL REFERENCES shop_order (id),
    kind     TEXT    NOT NULL CHECK (kind IN ('deposit', 'part', 'balance', 'refund', 'void')),
    minor    INTEGER NOT NULL CHECK (minor > 0),      -- a refund too
    currency TEXT    NOT NULL,
    day      TEXT    NOT NULL,
    method   TEXT    NOT NULL,                        -- cash, bank, mobile money
    note     TEXT    NOT NULL,                        -- PERSONAL
    voids    INTEGER UNIQUE REFERENCES payment (id),  -- set exactly when kind is void
    who      INTEGER NOT NULL REFERENCES person (id),
    at_ms    INTEGER NOT NULL,
    CHECK ((kind = 'void') = (voids IS NOT NULL))
) STRICT;
CREATE INDEX payment_order ON payment (order_id, id);
CREATE INDEX payment_day   ON payment (day, id);

-- Extras, discounts and taxes: there from the start, though most orders have none.
CREATE TABLE charge (
    id         INTEGER PRIMARY KEY,
    version    INTEGER NOT NULL DEFAULT 1,
    order_id   INTEGER NOT NULL REFERENCES shop_order (id),
    garment_id INTEGER REFERENCES garment (id),
    kind       TEXT    NOT NULL CHECK (kind IN ('extra', 'discount', 'tax')),
    words      TEXT    NOT NULL,
    minor      INTEGER NOT NULL CHECK (minor > 0),
    currency   TEXT    NOT NULL
) STRICT;
CREATE INDEX charge_order ON charge (order_id, id);

-- Append-only. What was told to the client: a crossing from worked out to fact.
CREATE TABLE quote (
    id             INTEGER PRIMARY KEY,
    garment_id     INTEGER NOT NULL REFERENCES garment (id),
    minor          INTEGER NOT NULL CHECK (minor >= 0),
    currency       TEXT    NOT NULL,
    cloth_nm       INTEGER,                           -- cloth to buy
    width_nm       INTEGER,                           -- at this width
    cut_minutes    INTEGER NOT NULL,
    sew_minutes    INTEGER NOT NULL,
    fit_minutes    INTEGER NOT NULL,
    finish_minutes INTEGER NOT NULL,
    words          TEXT    NOT NULL,                  -- how the price came about, as shown
    who            INTEGER NOT NULL REFERENCES person (id),
    at_ms          INTEGER NOT NULL
) STRICT;
CREATE INDEX quote_garment ON quote (garment_id, id);

-- Append-only. What was cut, whatever changes later: a crossing from worked out to fact.
CREATE TABLE cut_record (
    id         INTEGER PRIMARY KEY,
    garment_id INTEGER NOT NULL REFERENCES garment (id),
    style_text TEXT    NOT NULL,                      -- in full
    step       TEXT    NOT NULL CHECK (step IN ('eighth', 'sixteenth', 'millimetre')), -- in which the workings are shown
    outlines   TEXT    NOT NULL,                      -- PERSONAL: sewing and cutting outlines, JSON
    engine     TEXT    NOT NULL,                      -- edition of the engine
    who        INTEGER NOT NULL REFERENCES person (id),
    at_ms      INTEGER NOT NULL
) STRICT;
CREATE INDEX cut_garment ON cut_record (garment_id, id);
-- Append-only. PERSONAL. Body values, all choices of the style (what was left open too, so that the shop's
-- allowances of that day are in it) and dimensions of a cut record: with the text, the same draft comes out again.
CREATE TABLE cut_figure (
    cut_id  INTEGER NOT NULL REFERENCES cut_record (id),
    kind    TEXT    NOT NULL CHECK (kind IN ('body', 'choice', 'dimension')),
    place   INTEGER NOT NULL,
    key     TEXT    NOT NULL,
    nm      INTEGER,                                  -- of a body value
    label   TEXT    NOT NULL,                         -- of a dimension
    words   TEXT    NOT NULL,                         -- a choice as it stood (lengths with their unit), a dimension's working as shown
    PRIMARY KEY (cut_id, kind, place)
) STRICT, WITHOUT ROWID;

-- Append-only. A lay that was accepted: a crossing from worked out to fact.
CREATE TABLE lay (
    id          INTEGER PRIMARY KEY,
    garment_id  INTEGER NOT NULL REFERENCES garment (id),
    width_nm    INTEGER NOT NULL,
    used_nm     INTEGER NOT NULL,                     -- before squaring and shrinkage
    layout      TEXT    NOT NULL,                     -- folded, open
    folded_nm   INTEGER NOT NULL,                     -- length of the folded stretch; 0 in an open lay
    fold_at_nm  INTEGER NOT NULL,                     -- where across the cloth the fold lies
    seed        TEXT    NOT NULL,                     -- decimal: a 64-bit number without a sign
    evaluations INTEGER NOT NULL,
    who         INTEGER NOT NULL REFERENCES person (id),
    at_ms       INTEGER NOT NULL
) STRICT;
CREATE INDEX lay_garment ON lay (garment_id, id);
CREATE TABLE lay_placement (
    lay_id   INTEGER NOT NULL REFERENCES lay (id),
    place    INTEGER NOT NULL,
    part     TEXT    NOT NULL,                        -- key of the piece
    copy     INTEGER NOT NULL,
    under_copy INTEGER,                               -- the copy cut from the layer beneath, if one is
    length_nm INTEGER,                                -- of a strip's length; NULL for a piece
    turn     INTEGER NOT NULL CHECK (turn BETWEEN 0 AND 359), -- degrees
    mirrored INTEGER NOT NULL CHECK (mirrored IN (0, 1)),
    on_fold  INTEGER NOT NULL CHECK (on_fold IN (0, 1)),
    layers   INTEGER NOT NULL CHECK (layers IN (1, 2)),
    x_nm     INTEGER NOT NULL,                        -- across the cloth
    y_nm     INTEGER NOT NULL,                        -- along the cloth
    PRIMARY KEY (lay_id, place)
) STRICT, WITHOUT ROWID;

-- Append-only. Papers handed out, numbered without gaps within a kind.
CREATE TABLE paper (
    id       INTEGER PRIMARY KEY,
    kind     TEXT    NOT NULL CHECK (kind IN ('receipt', 'quote')),
    number   INTEGER NOT NULL CHECK (number >= 1),
    order_id INTEGER NOT NULL REFERENCES shop_order (id),
    day      TEXT    NOT NULL,
    minor    INTEGER NOT NULL,
    currency TEXT    NOT NULL,
    text     TEXT    NOT NULL,                        -- PERSONAL: as printed
    who      INTEGER NOT NULL REFERENCES person (id),
    at_ms    INTEGER NOT NULL,
    UNIQUE (kind, number)
) STRICT;
CREATE INDEX paper_order ON paper (order_id, id);

-- Append-only. One act of a person, written in the same transaction as what it did.
CREATE TABLE action (
    id    INTEGER PRIMARY KEY,
    who   INTEGER NOT NULL REFERENCES person (id),
    at_ms INTEGER NOT NULL,
    words TEXT    NOT NULL,                           -- what, in words; no names in it
    form  TEXT    UNIQUE                              -- key of the form that was sent, if it had one: sent twice, done once
) STRICT;

-- Append-only. PERSONAL. What an action changed, field by field.
CREATE TABLE change (
    id           INTEGER PRIMARY KEY,
    action_id    INTEGER NOT NULL REFERENCES action (id),
    noun         TEXT    NOT NULL,                    -- client, order, garment, …
    row          INTEGER NOT NULL,                    -- its id
    order_id     INTEGER,                             -- the order that it belongs to, if to one
    field        TEXT,                                -- NULL: the row as a whole
    before_value TEXT,
    after_value  TEXT
) STRICT;
CREATE INDEX change_row    ON change (noun, row, id);
CREATE INDEX change_order  ON change (order_id, id) WHERE order_id IS NOT NULL;
CREATE INDEX change_action ON change (action_id);

-- Clients who were forgotten: a restored copy of an older file must forget them again.
CREATE TABLE forgotten (
    client_id INTEGER PRIMARY KEY,
    at_ms     INTEGER NOT NULL
) STRICT;

-- Foreseen, each in a migration of its own: photos (bytes in photos.db, here order, garment and day; PERSONAL),
-- messages (client, words, sent; PERSONAL), cloths in stock, notions, piecework of helpers.

-- 1 while a client is being forgotten, within that transaction; then, and only then, what is
-- append-only may be emptied of personal words. Set back before the transaction ends.
CREATE TABLE permit (
    id         INTEGER PRIMARY KEY CHECK (id = 1),
    forgetting INTEGER NOT NULL CHECK (forgetting IN (0, 1))
) STRICT;
INSERT INTO permit VALUES (1, 0);

-- What an order comes to. Prices of cancelled garments and of cancelled orders are not due.
CREATE VIEW account AS
SELECT o.id AS order_id,
       (SELECT COALESCE(SUM(g.minor), 0) FROM garment g
         WHERE g.order_id = o.id AND g.cancelled = 0 AND o.standing <> 'cancelled')
     + (SELECT COALESCE(SUM(CASE c.kind WHEN 'discount' THEN -c.minor ELSE c.minor END), 0) FROM charge c
         WHERE c.order_id = o.id) AS due,
       (SELECT COALESCE(SUM(CASE p.kind WHEN 'refund' THEN -p.minor ELSE p.minor END), 0) FROM payment p
         WHERE p.order_id = o.id AND p.kind <> 'void'
           AND NOT EXISTS (SELECT 1 FROM payment v WHERE v.voids = p.id)) AS paid,
       (SELECT COALESCE(SUM(p.minor), 0) FROM payment p
         WHERE p.order_id = o.id AND p.kind = 'deposit'
           AND NOT EXISTS (SELECT 1 FROM payment v WHERE v.voids = p.id)) AS deposit
  FROM shop_order o;

-- What is only ever added to: no change, no removal, except the emptying that `permit` allows.
CREATE TRIGGER measure_set_is_not_changed BEFORE UPDATE ON measure_set
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'measure_set is append-only'); END;
CREATE TRIGGER measure_set_is_not_removed BEFORE DELETE ON measure_set
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'measure_set is append-only'); END;
CREATE TRIGGER reading_is_not_changed BEFORE UPDATE ON reading
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE TRIGGER reading_is_not_removed BEFORE DELETE ON reading
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE TRIGGER figure_note_is_not_changed BEFORE UPDATE ON figure_note
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'figure_note is append-only'); END;
CREATE TRIGGER figure_note_is_not_removed BEFORE DELETE ON figure_note
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'figure_note is append-only'); END;
CREATE TRIGGER stage_move_is_not_changed BEFORE UPDATE ON stage_move
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'stage_move is append-only'); END;
CREATE TRIGGER stage_move_is_not_removed BEFORE DELETE ON stage_move
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'stage_move is append-only'); END;
CREATE TRIGGER payment_is_not_changed BEFORE UPDATE ON payment
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'payment is append-only'); END;
CREATE TRIGGER payment_is_not_removed BEFORE DELETE ON payment
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'payment is append-only'); END;
CREATE TRIGGER style_version_is_not_changed BEFORE UPDATE ON style_version
BEGIN SELECT RAISE(ABORT, 'style_version is append-only'); END;
CREATE TRIGGER style_version_is_not_removed BEFORE DELETE ON style_version
BEGIN SELECT RAISE(ABORT, 'style_version is append-only'); END;
CREATE TRIGGER quote_is_not_changed BEFORE UPDATE ON quote
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'quote is append-only'); END;
CREATE TRIGGER quote_is_not_removed BEFORE DELETE ON quote
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'quote is append-only'); END;
CREATE TRIGGER cut_record_is_not_changed BEFORE UPDATE ON cut_record
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'cut_record is append-only'); END;
CREATE TRIGGER cut_record_is_not_removed BEFORE DELETE ON cut_record
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'cut_record is append-only'); END;
CREATE TRIGGER cut_figure_is_not_changed BEFORE UPDATE ON cut_figure
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'cut_figure is append-only'); END;
CREATE TRIGGER cut_figure_is_not_removed BEFORE DELETE ON cut_figure
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'cut_figure is append-only'); END;
CREATE TRIGGER lay_is_not_changed BEFORE UPDATE ON lay
BEGIN SELECT RAISE(ABORT, 'lay is append-only'); END;
CREATE TRIGGER lay_is_not_removed BEFORE DELETE ON lay
BEGIN SELECT RAISE(ABORT, 'lay is append-only'); END;
CREATE TRIGGER lay_placement_is_not_changed BEFORE UPDATE ON lay_placement
BEGIN SELECT RAISE(ABORT, 'lay_placement is append-only'); END;
CREATE TRIGGER lay_placement_is_not_removed BEFORE DELETE ON lay_placement
BEGIN SELECT RAISE(ABORT, 'lay_placement is append-only'); END;
CREATE TRIGGER paper_is_not_changed BEFORE UPDATE ON paper
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'paper is append-only'); END;
CREATE TRIGGER paper_is_not_removed BEFORE DELETE ON paper
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'paper is append-only'); END;
CREATE TRIGGER action_is_not_changed BEFORE UPDATE ON action
BEGIN SELECT RAISE(ABORT, 'action is append-only'); END;
CREATE TRIGGER action_is_not_removed BEFORE DELETE ON action
BEGIN SELECT RAISE(ABORT, 'action is append-only'); END;
CREATE TRIGGER change_is_not_changed BEFORE UPDATE ON change
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'change is append-only'); END;
CREATE TRIGGER change_is_not_removed BEFORE DELETE ON change
  WHEN (SELECT forgetting FROM permit) = 0
BEGIN SELECT RAISE(ABORT, 'change is append-only'); END;
CREATE TRIGGER shop_order_is_not_removed BEFORE DELETE ON shop_order
BEGIN SELECT RAISE(ABORT, 'orders are cancelled, not removed'); END;
