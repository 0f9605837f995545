package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Backup writes all records as they are at this moment into one new file, while
// others read and write. The file at path is either whole or not there; one
// that is there already is never written over, the error matches fs.ErrExist.
// On a server it is refused: an error that matches errors.ErrUnsupported.
func (db *DB) Backup(ctx context.Context, path string) error { return db.engine.backup(ctx, path) }

func (f sqliteFile) backup(ctx context.Context, path string) error {
	// A connection of its own: the readers' may not even write another file, and
	// the writer's is for those who write.
	source, err := connect(f.path, 1)
	if err != nil {
		return err
	}
	defer source.Close()
	return copyInto(ctx, source, path)
}

// copyInto writes the database that source is connected to into a new file.
func copyInto(ctx context.Context, source *sql.DB, path string) (err error) {
	path, err = filepath.Abs(path)
	if err != nil {
		return err
	}
	if exists(path) {
		return &fs.PathError{Op: "write a copy of the records to", Path: path, Err: fs.ErrExist}
	}
	// SQLite takes an empty file as it takes none, and this one is its owner's alone.
	temporary, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".*.partial")
	if of := new(fs.PathError); errors.As(err, &of) {
		return &fs.PathError{Op: "write a copy of the records to", Path: path, Err: of.Err} // by the name that was asked for
	}
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(temporary.Name()))
		}
	}()
	if err := temporary.Close(); err != nil {
		return err
	}
	if _, err := source.ExecContext(ctx, "VACUUM INTO ?", temporary.Name()); err != nil {
		return fmt.Errorf("a copy of the records to %s: %w", path, inWords(path, err))
	}
	if err := flush(temporary.Name()); err != nil {
		return fmt.Errorf("a copy of the records: %w", err)
	}
	if err := takeName(temporary.Name(), path); err != nil {
		return fmt.Errorf("a copy of the records: %w", err)
	}
	// Not every system can sync a folder; the copy itself is safe by now.
	_ = flush(filepath.Dir(path))
	return nil
}

// takeName gives a whole file its name, and fails where that is taken: a rename would write
// over a file that came meanwhile.
func takeName(temporary, path string) error {
	if err := os.Link(temporary, path); err == nil {
		_ = os.Remove(temporary) // a second name that is left is cleared away later
		return nil
	} else if errors.Is(err, fs.ErrExist) {
		return err
	}
	// Not every system has second names: the name is taken first, by an empty file.
	reserved, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	if err := errors.Join(reserved.Close(), os.Rename(temporary, path)); err != nil {
		return errors.Join(err, os.Remove(path))
	}
	return nil
}

// flush waits until the disk has what was written to a file or folder.
func flush(path string) error {
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(file.Sync(), file.Close())
}
