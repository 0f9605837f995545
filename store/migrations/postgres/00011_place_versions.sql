-- +goose Up

-- The last record of a place is asked for every second by whoever serves many.
CREATE INDEX record_of_place ON record (place, id);
