package store

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
)

// ImportFile makes a new file of records of an export, whole or not at all: what is no export
// leaves no file behind. It returns how many records that were, and refuses a path at which
// something is.
func ImportFile(ctx context.Context, path string, from io.Reader, log *slog.Logger) (records int64, err error) {
	if path, err = filepath.Abs(path); err != nil {
		return 0, err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return 0, err
	}
	temporary, tidy := partialOf(path)
	defer tidy()
	db, err := Open(ctx, temporary, log)
	if err != nil {
		return 0, ofFile(path, err)
	}
	records, err = db.Import(ctx, from)
	if err = errors.Join(err, db.Close()); err != nil {
		return 0, ofFile(path, err)
	}
	if err := takeName(temporary, path); errors.Is(err, fs.ErrExist) {
		return 0, &FileError{Path: path, Why: "it was begun by another program meanwhile; an export is taken into a new file", Err: ErrNotOurs}
	} else if err != nil {
		return 0, err
	}
	_ = flush(filepath.Dir(path))
	return records, nil
}
