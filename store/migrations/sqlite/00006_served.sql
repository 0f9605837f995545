-- +goose Up

-- Under which address a place is served, or was last: state, written by whoever
-- serves it, for those who tell addresses.
CREATE TABLE served_address (
    place   TEXT PRIMARY KEY,
    address TEXT NOT NULL CHECK (length(address) > 0)
) STRICT, WITHOUT ROWID;
