-- +goose Up

-- What took long to work out from the records, kept so that asking again costs a
-- read: state, and may be thrown away at any time. The key tells all that it follows
-- from; what follows from something else now is never asked for again, and makes room
-- as newer things come.
CREATE TABLE derived (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    place  TEXT NOT NULL,
    kind   TEXT NOT NULL,
    key    TEXT NOT NULL,
    sum    BLOB NOT NULL CHECK (length(sum) = 16),
    data   BLOB NOT NULL,
    UNIQUE (place, kind, key)
) STRICT;
