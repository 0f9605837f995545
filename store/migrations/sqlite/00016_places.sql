-- +goose Up

-- All places are listed again and again, and of many places there are millions of records.
CREATE INDEX record_place ON record (place, id) WHERE kind = 'place';
