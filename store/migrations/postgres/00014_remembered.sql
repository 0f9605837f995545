-- +goose Up

-- What servers of the same records must have in common for a while: forms that were
-- taken, wrong passwords, deletions and ticks of the last minutes. State.
CREATE TABLE remembered (
    kind  text COLLATE "C" NOT NULL,
    key   text COLLATE "C" NOT NULL,
    value text COLLATE "C" NOT NULL,
    until bigint NOT NULL, -- seconds since 1970
    PRIMARY KEY (kind, key)
);

CREATE INDEX remembered_until ON remembered (until);
