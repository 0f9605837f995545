-- +goose Up

-- The passwords that task apps come in with: state, revoked by taking the row
-- out. Only hashes are kept.
CREATE TABLE app_password (
    place     TEXT NOT NULL CHECK (place <> ''),
    name      TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 60),
    hash      BLOB NOT NULL CHECK (length(hash) = 32),
    created   TEXT NOT NULL,
    last_used TEXT, -- a day in UTC
    PRIMARY KEY (place, name)
) STRICT, WITHOUT ROWID;
