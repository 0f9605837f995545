-- +goose Up

-- What took long to work out from the records, kept so that asking again costs a
-- read: state, and may be thrown away at any time. The key tells all that it follows
-- from; what follows from something else now is never asked for again, and makes room
-- as newer things come.
CREATE TABLE derived (
    number bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    place  text COLLATE "C" NOT NULL,
    kind   text COLLATE "C" NOT NULL,
    key    text COLLATE "C" NOT NULL,
    sum    bytea NOT NULL CHECK (length(sum) = 16),
    data   bytea NOT NULL,
    UNIQUE (place, kind, key)
);
