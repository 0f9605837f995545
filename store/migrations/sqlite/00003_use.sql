-- +goose Up

-- What a shot log says in words, each wording once: logs repeat themselves.
CREATE TABLE wording (
    id    INTEGER PRIMARY KEY,
    grind TEXT NOT NULL,
    drink TEXT NOT NULL,
    beans TEXT NOT NULL,
    note  TEXT NOT NULL,
    UNIQUE (grind, drink, beans, note)
) STRICT;

-- Null where a line says nothing in words.
ALTER TABLE drawn ADD COLUMN wording INTEGER REFERENCES wording (id);

-- The half hours of a day in which there was a line with a time, as bits from
-- midnight on: they tell how long a machine was in use.
ALTER TABLE drawn_day ADD COLUMN half_hours INTEGER NOT NULL DEFAULT 0;

-- The sums of the lines that are there already.
UPDATE drawn_day SET half_hours = coalesce((
    SELECT sum(DISTINCT 1 << minute / 30) FROM drawn
    WHERE drawn.record_id = drawn_day.record_id AND drawn.day = drawn_day.day AND minute >= 0), 0);

-- +goose StatementBegin
CREATE TRIGGER wording_no_update BEFORE UPDATE ON wording
BEGIN
    SELECT RAISE(ABORT, 'a wording is never changed: void the batch that has it and write another');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER wording_no_delete BEFORE DELETE ON wording
BEGIN
    SELECT RAISE(ABORT, 'a wording is never deleted: void the batch that has it');
END;
-- +goose StatementEnd
