-- +goose Up

-- Who may come in beside the owner, and what as: state, revoked by taking the row out.
CREATE TABLE person (
    name    TEXT PRIMARY KEY CHECK (length(name) BETWEEN 1 AND 60),
    role    TEXT NOT NULL CHECK (role IN ('technician', 'staff', 'reader')),
    places  TEXT NOT NULL, -- ids parted by commas; empty for all
    created TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- A link that signs a browser in as somebody, once. Only its hash is kept.
CREATE TABLE invitation (
    hash    BLOB PRIMARY KEY CHECK (length(hash) = 32),
    person  TEXT NOT NULL REFERENCES person (name) ON DELETE CASCADE,
    expires TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- Whose a session is; the owner's where there is no row.
CREATE TABLE session_person (
    hash   BLOB PRIMARY KEY REFERENCES session (hash) ON DELETE CASCADE,
    person TEXT NOT NULL REFERENCES person (name)
) STRICT, WITHOUT ROWID;
