-- +goose Up

-- What task apps were shown of a place: state. Numbers count the changes of the
-- collection. The epoch is made up when counting begins, so that a token from
-- before the state was lost is known to be worthless.
CREATE TABLE todo_collection (
    place  TEXT PRIMARY KEY,
    epoch  TEXT NOT NULL,
    number INTEGER NOT NULL DEFAULT 0,
    oldest INTEGER NOT NULL DEFAULT 0
) STRICT, WITHOUT ROWID;

CREATE TABLE todo_object (
    place   TEXT NOT NULL REFERENCES todo_collection (place) ON DELETE CASCADE,
    name    TEXT NOT NULL,
    tag     TEXT,                       -- of its bytes; null where it is gone
    number  INTEGER NOT NULL,           -- of the change that made it so
    touched INTEGER NOT NULL DEFAULT 0, -- how often it was put right without a change of its bytes
    PRIMARY KEY (place, name)
) STRICT, WITHOUT ROWID;

-- What apps did to entries that no record speaks of.
CREATE TABLE todo_mark (
    place TEXT NOT NULL,
    uid   TEXT NOT NULL,
    mark  TEXT NOT NULL CHECK (mark IN ('ticked', 'hidden')),
    at    TEXT NOT NULL,
    PRIMARY KEY (place, uid)
) STRICT, WITHOUT ROWID;

-- The last publication is looked for at every question.
CREATE INDEX record_publication ON record (place, id) WHERE kind = 'publication';
