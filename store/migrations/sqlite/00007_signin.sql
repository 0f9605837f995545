-- +goose Up

-- The password that the pages ask for: state. The hash is of argon2id, with its salt
-- and its cost, as RFC 9106 and the PHC string format write it.
CREATE TABLE owner (
    only_one INTEGER PRIMARY KEY CHECK (only_one = 1),
    hash     TEXT NOT NULL CHECK (hash GLOB '$argon2id$*'),
    changed  TEXT NOT NULL
) STRICT;

-- Who is signed in: state. Of what a browser carries only the hash is kept.
CREATE TABLE session (
    hash      BLOB PRIMARY KEY CHECK (length(hash) = 32),
    browser   TEXT NOT NULL,
    begun     TEXT NOT NULL,
    last_used TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- A link that sets the password, once.
CREATE TABLE setup_link (
    hash    BLOB PRIMARY KEY CHECK (length(hash) = 32),
    expires TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- What an app's password opens: the to-dos unless it was made for something else.
ALTER TABLE app_password ADD COLUMN scope TEXT NOT NULL DEFAULT 'tasks'
    CHECK (scope IN ('tasks', 'feed', 'use', 'all'));
