-- +goose Up

-- Who may come in beside the owner, and what as: state, revoked by taking the row out.
CREATE TABLE person (
    name    text COLLATE "C" PRIMARY KEY CHECK (length(name) BETWEEN 1 AND 60),
    role    text COLLATE "C" NOT NULL CHECK (role IN ('technician', 'staff', 'reader')),
    places  text COLLATE "C" NOT NULL, -- ids parted by commas; empty for all
    created text COLLATE "C" NOT NULL
);

-- A link that signs a browser in as somebody, once. Only its hash is kept.
CREATE TABLE invitation (
    hash    bytea PRIMARY KEY CHECK (length(hash) = 32),
    person  text COLLATE "C" NOT NULL REFERENCES person (name) ON DELETE CASCADE,
    expires text COLLATE "C" NOT NULL
);

-- Whose a session is; the owner's where there is no row.
CREATE TABLE session_person (
    hash   bytea PRIMARY KEY REFERENCES session (hash) ON DELETE CASCADE,
    person text COLLATE "C" NOT NULL REFERENCES person (name)
);
