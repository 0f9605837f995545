package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"modernc.org/sqlite"
)

// CheckFile looks a file of records over from end to end, without a change to it: a copy
// is opened and brought up to date. What is wrong is a *DamageError or a *FileError.
func CheckFile(ctx context.Context, path string) error {
	folder, err := scratchFor(path)
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	copied := filepath.Join(folder, "records.db")
	if err := copyFile(path, copied); err != nil {
		return err
	}
	return ofFile(path, checkCopy(ctx, copied))
}

// scratchFor makes a folder for a copy of a file: where such things lie, or beside it
// where nothing can be written there.
func scratchFor(path string) (string, error) {
	const pattern = "limekeep-check-"
	folder, err := os.MkdirTemp("", pattern)
	if err == nil {
		return folder, nil
	}
	beside, besideErr := os.MkdirTemp(filepath.Dir(path), pattern)
	if besideErr != nil {
		return "", err
	}
	return beside, nil
}

func checkCopy(ctx context.Context, path string) error {
	db, err := Open(ctx, path, nil)
	if err != nil {
		return err
	}
	return errors.Join(db.Check(ctx), db.Close())
}

// Restore puts a backup in the place of the file of records, after it was looked over
// from end to end; where it is not sound nothing is changed. What was there stays beside
// it, under the name that is returned; empty where nothing was. Task apps and browsers
// are told to begin anew. While another program has the records open it is refused.
func Restore(ctx context.Context, backup, path string, log *slog.Logger) (kept string, err error) {
	if path, err = filepath.Abs(path); err != nil {
		return "", err
	}
	if path, err = behindLink(path); err != nil {
		return "", err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return "", err
	}
	temporary, tidy := partialOf(path)
	defer tidy()
	if err := copyFile(backup, temporary); err != nil {
		return "", err
	}
	if err := renew(ctx, temporary, log); err != nil {
		return "", fmt.Errorf("nothing was changed: %w", ofFile(backup, err))
	}
	if exists(path) {
		if err := alone(ctx, path); err != nil {
			return "", err
		}
		kept = fmt.Sprintf("%s.replaced-%s", path, time.Now().UTC().Format("20060102-150405"))
		for n := 2; exists(kept); n++ {
			kept = fmt.Sprintf("%s.replaced-%s-%d", path, time.Now().UTC().Format("20060102-150405"), n)
		}
		if err := putAside(path, kept); err != nil {
			return "", err
		}
	}
	if err := os.Rename(temporary, path); err != nil {
		return kept, err
	}
	_ = flush(filepath.Dir(path))
	return kept, nil
}

// partialOf returns a name beside a file for what is to become it, and what clears away all
// that is left under that name.
func partialOf(path string) (temporary string, tidy func()) {
	temporary = fmt.Sprintf("%s.%s.partial", path, rand.Text()[:8])
	return temporary, func() {
		for _, end := range []string{"", "-wal", "-shm", "-journal"} {
			_ = os.Remove(temporary + end)
		}
	}
}

// ofFile makes an error about a copy one about the file that it was made of, which is the
// one that people know.
func ofFile(path string, err error) error {
	var file *FileError
	var damage *DamageError
	var fault *FaultError
	switch {
	case errors.As(err, &file):
		return &FileError{Path: path, Why: file.Why, Err: file.Err}
	case errors.As(err, &damage):
		return &DamageError{Path: path, Found: damage.Found}
	case errors.As(err, &fault):
		return &FaultError{Path: path, Why: fault.Why, Err: fault.Err}
	}
	return err
}

// putAside gives a file a second name, under which it stays when another takes its place:
// at no moment is there none. What lies beside a file that was damaged goes with it, since
// it would else be taken for part of the other.
func putAside(path, kept string) error {
	for _, end := range []string{"-wal", "-shm", "-journal"} {
		if err := os.Rename(path+end, kept+end); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if err := os.Link(path, kept); err == nil {
		return nil
	}
	return os.Rename(path, kept) // not every system has second names
}

// renew looks a file over and makes what clients hold of it worthless: they were shown
// what the backup does not know of.
func renew(ctx context.Context, path string, log *slog.Logger) error {
	db, err := Open(ctx, path, log)
	if err != nil {
		return err
	}
	err = errors.Join(db.Check(ctx), db.notEmpty(ctx))
	if err == nil {
		err = db.inWrite(ctx, func(tx *sql.Tx) error {
			for _, table := range []string{"session", "setup_link", "todo_object", "todo_collection"} {
				if _, err := tx.ExecContext(ctx, "DELETE FROM "+table); err != nil {
					return err
				}
			}
			return nil
		})
	}
	return errors.Join(err, db.Close(), flush(path))
}

// notEmpty refuses a file without a record: no place was ever set up in it, so that it is
// the backup of nothing, and what it would replace is worth more.
func (db *DB) notEmpty(ctx context.Context) error {
	version, err := db.Version(ctx)
	if err == nil && version == 0 {
		err = &FileError{Path: db.path, Why: "it holds no record; give the path of a backup of yours", Err: ErrNotOurs}
	}
	return err
}

// alone sees that nobody else has a file open, and brings all that is in the log beside
// it into the file. SQLite lets a file leave its log only when nobody else is there.
func alone(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", address(path, "mode=rw", "_busy_timeout=1000"))
	if err != nil {
		return err
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	var mode string
	err = db.QueryRowContext(ctx, "PRAGMA journal_mode = DELETE").Scan(&mode)
	if busy(err) || err == nil && mode != "delete" {
		return fmt.Errorf("the records in %s are in use; stop the server and every other program that has them open, then try again", path)
	}
	if errors.As(err, new(*sqlite.Error)) {
		return nil // damaged beyond opening: that is why a backup is restored
	}
	return err
}

// copyFile copies a whole file for its owner alone.
func copyFile(from, to string) error {
	source, err := os.Open(from)
	if err != nil {
		return err
	}
	defer source.Close()
	switch info, err := source.Stat(); {
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return &FileError{Path: from, Why: "it is not a regular file", Err: ErrNotOurs}
	case info.Size() == 0: // which would open as a new file
		return &FileError{Path: from, Why: "it is empty: a copy that was never finished; give the path of another", Err: ErrNotOurs}
	}
	target, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(target, source)
	return errors.Join(err, target.Sync(), target.Close())
}
