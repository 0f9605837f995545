-- +goose Up

-- The calendar of the owner's own, on whose busy times nothing is planned: state, not
-- records. Its text is kept packed.
CREATE TABLE own_calendar (
    place   TEXT NOT NULL PRIMARY KEY,
    name    TEXT NOT NULL,
    address TEXT NOT NULL,
    taken   INTEGER NOT NULL,
    wrong   TEXT NOT NULL,
    version INTEGER NOT NULL,
    body    BLOB
) STRICT;
