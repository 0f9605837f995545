-- +goose Up

-- The secret in the address of a place's calendar: state, replaced at will.
CREATE TABLE feed_secret (
    place  TEXT PRIMARY KEY,
    secret TEXT NOT NULL CHECK (length(secret) >= 20)
) STRICT, WITHOUT ROWID;
