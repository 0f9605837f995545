-- +goose Up

-- What servers of the same records must have in common for a while: forms that were
-- taken, wrong passwords, deletions and ticks of the last minutes. State.
CREATE TABLE remembered (
    kind  TEXT NOT NULL,
    key   TEXT NOT NULL,
    value TEXT NOT NULL,
    until INTEGER NOT NULL, -- seconds since 1970
    PRIMARY KEY (kind, key)
) STRICT, WITHOUT ROWID;

CREATE INDEX remembered_until ON remembered (until);
