-- +goose Up

-- A checksum of each record as it was written, so that a flipped bit in its text is
-- told: the first 16 bytes of SHA-256. Those of older records are added once.
CREATE TABLE checksum (
    record_id INTEGER PRIMARY KEY REFERENCES record (id) DEFERRABLE INITIALLY DEFERRED,
    sum       BLOB NOT NULL CHECK (length(sum) = 16)
) STRICT;
