-- +goose Up

-- The sittings that were begun, and how far each got: state, not records.
CREATE TABLE begun_sitting (
    place     TEXT NOT NULL,
    id        TEXT NOT NULL,
    version   INTEGER NOT NULL,
    begun     INTEGER NOT NULL,
    over      INTEGER NOT NULL CHECK (over IN (0, 1)),
    checklist TEXT NOT NULL,
    PRIMARY KEY (place, id)
) STRICT, WITHOUT ROWID;

-- One goes on at a time.
CREATE UNIQUE INDEX begun_sitting_open ON begun_sitting (place) WHERE over = 0;
