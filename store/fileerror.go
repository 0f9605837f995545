package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// FileError says why a file cannot be used for the records.
type FileError struct {
	Path string
	Why  string // what was found, and what to do
	Err  error  // ErrNotOurs or ErrNewer
}

// ErrNotOurs is at the root of every error about a file that holds something
// else than records.
var ErrNotOurs = errors.New("not a file of records")

// ErrNewer is at the root of every error about a file that a later version of
// the program has written.
var ErrNewer = errors.New("written by a later version of the program")

// applicationID stands in the header of every file of ours (SQLite file format,
// section 1.3.16): the letters LMKP.
const applicationID = 0x4C4D4B50

// Error says which file, what it is, and why.
func (e *FileError) Error() string { return fmt.Sprintf("%s: %v: %s", e.Path, e.Err, e.Why) }

// Unwrap returns ErrNotOurs or ErrNewer.
func (e *FileError) Unwrap() error { return e.Err }

// inspect refuses a file that is not ours or too new, and changes nothing. It
// reads through SQLite rather than by itself, since closing a file of one's own
// would drop the locks that another connection of the process has on it; with
// "immutable" SQLite takes no lock, and leaves alone logs beside the file.
func inspect(ctx context.Context, path string, known fs.FS) error {
	id, version, err := header(ctx, path, "immutable=1")
	var failure *sqlite.Error
	if errors.As(err, &failure) && failure.Code()&0xff == sqlite3.SQLITE_CORRUPT {
		// The log is just being brought into the file, or was when the power went: only the
		// two together are whole, and read under a lock.
		id, version, err = header(ctx, path, fmt.Sprintf("_busy_timeout=%d", busyMilliseconds))
	}
	switch {
	case errors.As(err, &failure) && failure.Code()&0xff == sqlite3.SQLITE_NOTADB:
		return &FileError{Path: path, Why: "it is no SQLite file; give the path of another file, or of one that does not exist yet", Err: ErrNotOurs}
	case err != nil:
		return fmt.Errorf("the file of the records %s cannot be read: %w", path, err)
	case id != applicationID:
		return &FileError{Path: path, Why: fmt.Sprintf("it is an SQLite file of something else (application id %#x); give the path of another file, or of one that does not exist yet", uint32(id)), Err: ErrNotOurs}
	}
	latest, err := latestVersion(known)
	if err != nil {
		return err
	}
	return refuseNewer(path, version, latest)
}

// header returns what the header of a file says it is, and the version of its schema.
func header(ctx context.Context, path, how string) (id, version int64, err error) {
	db, err := sql.Open("sqlite", address(path, "mode=ro", how))
	if err != nil {
		return 0, 0, err
	}
	defer db.Close()
	if err := db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return 0, 0, err
	}
	err = db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version)
	return id, version, err
}

// refuseNewer compares the version of a file with the latest that is known.
func refuseNewer(path string, version, latest int64) error {
	if version <= latest {
		return nil
	}
	return &FileError{Path: path, Why: fmt.Sprintf("its schema has number %d, this program knows up to %d; use the later program", version, latest), Err: ErrNewer}
}

// claim marks an empty file as ours. It does so before the file gets its
// write-ahead log, so that the mark is always in the file itself.
func claim(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", address(path, "mode=rw", fmt.Sprintf("_busy_timeout=%d", busyMilliseconds)))
	if err != nil {
		return err
	}
	defer db.Close()
	if _, err := db.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
		return fmt.Errorf("the file of the records %s cannot be set up: %w", path, err)
	}
	return nil
}
