package store

import (
	"errors"
	"fmt"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// FaultError says in plain words why the records could not be read or written.
type FaultError struct {
	Path string
	Why  string // what is the matter, and what to do
	Err  error  // as the database says it
}

// Error says what is the matter and what to do.
func (e *FaultError) Error() string { return fmt.Sprintf("the records in %s: %s", e.Path, e.Why) }

// Unwrap returns the error of the database.
func (e *FaultError) Unwrap() error { return e.Err }

const faultBusy = "another program has been writing to them for more than five seconds; try again, or stop it"

const faultFull = "the disk is full and nothing was written: make room and try again"

// faults are the words for what a database reports (SQLite result codes, and extended ones
// that mean something else than the code they extend).
var faults = map[int]string{
	// What readers and writers share lies in a file that needs room as well.
	sqlite3.SQLITE_IOERR_SHMSIZE: faultFull,
	sqlite3.SQLITE_IOERR_SHMMAP:  faultFull,

	sqlite3.SQLITE_BUSY:     faultBusy,
	sqlite3.SQLITE_LOCKED:   faultBusy,
	sqlite3.SQLITE_READONLY: "they may only be read: give yourself the right to write the file and its folder",
	sqlite3.SQLITE_PERM:     "they may not be opened: give yourself the right to read and write the file and its folder",
	sqlite3.SQLITE_CANTOPEN: "they cannot be opened: see that the folder is there, and that you may read and write the file and its folder",
	sqlite3.SQLITE_IOERR:    "the disk failed while they were read or written: see to the disk, then have all of them checked",
	sqlite3.SQLITE_FULL:     faultFull,
	sqlite3.SQLITE_CORRUPT:  "they are damaged: keep the file aside and restore a backup",
	sqlite3.SQLITE_NOMEM:    "the computer has no memory left: close other programs and try again",
	sqlite3.SQLITE_TOOBIG:   "something is larger than they can hold: nothing was written",
	sqlite3.SQLITE_ERROR:    "they do not have the form that they should, and are damaged: keep the file aside and restore a backup",
	sqlite3.SQLITE_NOTADB:   "they are damaged from the first byte on: keep the file aside and restore a backup",
}

// inWords puts an error of SQLite into plain words; others stay as they are.
func inWords(path string, err error) error {
	var told *FaultError
	var failure *sqlite.Error
	if err == nil || errors.As(err, &told) || !errors.As(err, &failure) {
		return err
	}
	why, ok := faults[failure.Code()]
	if !ok {
		why, ok = faults[failure.Code()&0xff]
	}
	if !ok {
		why = fmt.Sprintf("the database refused what was asked of it (reason %d): have all of them checked, and restore a backup if they are damaged", failure.Code())
	}
	return &FaultError{Path: path, Why: why, Err: err}
}

// passes reports whether an error of the database tells of something that has nothing to do
// with what is in a file, and goes by.
func passes(err error) bool {
	var failure *sqlite.Error
	if !errors.As(err, &failure) {
		return false
	}
	switch failure.Code() & 0xff {
	case sqlite3.SQLITE_FULL, sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_NOMEM, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM, sqlite3.SQLITE_READONLY:
		return true
	}
	return false
}

// busy reports whether another connection was in the way.
func busy(err error) bool {
	var failure *sqlite.Error
	return errors.As(err, &failure) && (failure.Code()&0xff == sqlite3.SQLITE_BUSY || failure.Code()&0xff == sqlite3.SQLITE_LOCKED)
}
