-- +goose Up

-- What people wrote down. Rows are only ever added.
CREATE TABLE record (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,
    place     TEXT NOT NULL CHECK (place <> ''),
    kind      TEXT NOT NULL CHECK (kind <> ''),
    effective TEXT NOT NULL CHECK (effective GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    entered   TEXT NOT NULL CHECK (entered GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T*Z'),
    source    TEXT NOT NULL,
    body      TEXT NOT NULL CHECK (json_valid(body)),
    -- The record that this one voids: read from the body, so that the two cannot disagree.
    voids     INTEGER REFERENCES record (id)
              GENERATED ALWAYS AS (CASE kind WHEN 'void' THEN json_extract(body, '$.record') END) STORED
) STRICT;

CREATE INDEX record_by_day ON record (place, effective, id);

-- A record is voided once: of two voids that race, the second fails here.
CREATE UNIQUE INDEX record_voids ON record (voids) WHERE voids IS NOT NULL;

-- The lines of a batch of use. The machine is the batch's. A day is counted
-- from the last day of the year 0: date('0000-12-31', day || ' days') shows it.
-- The batch is written after its lines, since it says how many they are.
CREATE TABLE drawn (
    record_id   INTEGER NOT NULL REFERENCES record (id) DEFERRABLE INITIALLY DEFERRED,
    day         INTEGER NOT NULL,
    minute      INTEGER NOT NULL CHECK (minute BETWEEN -1 AND 1439),
    ordinal     INTEGER NOT NULL CHECK (ordinal >= 0),
    shots       REAL NOT NULL,
    dose_g      REAL NOT NULL,
    yield_g     REAL NOT NULL,
    seconds     REAL NOT NULL,
    steamed     REAL NOT NULL,
    hot_water_l REAL NOT NULL,
    PRIMARY KEY (record_id, day, minute, ordinal)
) STRICT, WITHOUT ROWID;

-- The sums of drawn by batch and day: state, rebuilt at any time.
CREATE TABLE drawn_day (
    place       TEXT NOT NULL,
    machine     TEXT NOT NULL,
    day         INTEGER NOT NULL,
    record_id   INTEGER NOT NULL REFERENCES record (id),
    shots       REAL NOT NULL,
    dosed_shots REAL NOT NULL,
    dose_g      REAL NOT NULL,
    yield_shots REAL NOT NULL,
    yield_g     REAL NOT NULL,
    steamed     REAL NOT NULL,
    hot_water_l REAL NOT NULL,
    PRIMARY KEY (place, machine, day, record_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX drawn_day_by_record ON drawn_day (record_id);

-- +goose StatementBegin
CREATE TRIGGER record_void BEFORE INSERT ON record WHEN NEW.kind = 'void'
BEGIN
    SELECT RAISE(ABORT, 'a void must name a record of its own place and day that is no void and not voided')
    WHERE NOT EXISTS (
            SELECT 1 FROM record AS target
            WHERE target.id = json_extract(NEW.body, '$.record')
              AND target.kind <> 'void'
              AND target.place = NEW.place
              AND target.effective = NEW.effective)
       OR EXISTS (SELECT 1 FROM record AS earlier WHERE earlier.voids = json_extract(NEW.body, '$.record'));
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER record_no_update BEFORE UPDATE ON record
BEGIN
    SELECT RAISE(ABORT, 'a record is never changed: void it and write another');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER record_no_delete BEFORE DELETE ON record
BEGIN
    SELECT RAISE(ABORT, 'a record is never deleted: void it');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER drawn_no_update BEFORE UPDATE ON drawn
BEGIN
    SELECT RAISE(ABORT, 'a line of use is never changed: void its batch and write another');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER drawn_no_delete BEFORE DELETE ON drawn
BEGIN
    SELECT RAISE(ABORT, 'a line of use is never deleted: void its batch');
END;
-- +goose StatementEnd
