-- Migration 5: taken. Of the cloth of a joint lay the book says whether it went from the shelf for all of its garments.
-- The conventions are those of migration 1.

ALTER TABLE cloth_move ADD COLUMN lay_id INTEGER REFERENCES lay (id); -- by which lay it was cut, for all garments of it, or left
                                                      -- over of that, or not cut after all; NULL: by none, or before this was kept
CREATE INDEX cloth_move_lay ON cloth_move (lay_id) WHERE lay_id IS NOT NULL;
