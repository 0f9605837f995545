package store

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"github.com/pressly/goose/v3"
)

//go:embed migrations/sqlite/*.sql
var migrationFiles embed.FS

// migrationTries is how often a migration that fails is tried: one that met
// another process at work succeeds then (assumption).
const migrationTries = 5

// migrations are the steps that lead from an empty file to the schema of today.
func migrations() fs.FS {
	steps, err := fs.Sub(migrationFiles, "migrations/sqlite")
	if err != nil {
		panic(err) // the folder is in the program
	}
	return steps
}

// latestVersion is the number of the last migration that is known.
func latestVersion(known fs.FS) (int64, error) {
	names, err := fs.Glob(known, "*.sql")
	if err != nil {
		return 0, err
	}
	var latest int64
	for _, name := range names {
		version, err := goose.NumericComponent(name)
		if err != nil {
			return 0, fmt.Errorf("migration %s: %w", name, err)
		}
		latest = max(latest, version)
	}
	return latest, nil
}

// schema is the form of the tables, which is brought up to date as they are opened.
type schema struct{ *connections }

// migrate brings the schema up to date, with a copy of an older file taken
// before.
func (db schema) migrate(ctx context.Context, known fs.FS) error {
	latest, err := latestVersion(known)
	if err != nil {
		return err
	}
	version, err := db.version(ctx)
	if err != nil {
		return err
	}
	// The header that was looked at before may be older than the log beside it.
	if err := refuseNewer(db.path, version, latest); err != nil {
		return err
	}
	if version > 0 && version < latest {
		if err := db.copyBefore(ctx, latest); err != nil {
			return fmt.Errorf("the copy before the change to schema %d: %w", latest, err)
		}
	}
	if version < latest {
		if err := db.takeSteps(ctx, known, latest); err != nil {
			return fmt.Errorf("the change from schema %d to %d: %w", version, latest, err)
		}
	}
	return db.markVersion(ctx, latest)
}

// takeSteps runs the migrations that the file has not had, each in a
// transaction of its own.
func (db schema) takeSteps(ctx context.Context, known fs.FS, latest int64) error {
	provider, err := goose.NewProvider(goose.DialectSQLite3, db.write, known,
		goose.WithDisableGlobalRegistry(true), goose.WithSlog(db.log))
	if err != nil {
		return err
	}
	began := time.Now()
	for try := 1; ; try++ {
		_, err := provider.Up(ctx)
		if err == nil {
			return nil
		}
		// Another process may be doing the same, and be ahead of this one.
		if now, again := db.version(ctx); again == nil && now == latest {
			return nil
		}
		if try == migrationTries || time.Since(began) > busyMilliseconds*time.Millisecond || pause(ctx) != nil {
			return err
		}
	}
}

// version returns the number of the last migration that the file has had, 0 for
// none. The table of migrations decides; the header follows it.
func (db schema) version(ctx context.Context) (int64, error) {
	var tables int
	err := db.write.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = ?", goose.DefaultTablename).Scan(&tables)
	if err != nil || tables == 0 {
		return 0, err
	}
	var version int64
	err = db.write.QueryRowContext(ctx, "SELECT coalesce(max(version_id), 0) FROM "+goose.DefaultTablename+" WHERE is_applied").Scan(&version)
	return version, err
}

// markVersion writes the number of the last migration into the file's header,
// where a program that is too old for the file finds it without opening the
// file for writing.
func (db schema) markVersion(ctx context.Context, version int64) error {
	var marked int64
	if err := db.write.QueryRowContext(ctx, "PRAGMA user_version").Scan(&marked); err != nil || marked == version {
		return err
	}
	_, err := db.write.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d", version))
	return err
}

// copyBefore puts a copy of the file beside it, under a name that is free.
func (db schema) copyBefore(ctx context.Context, latest int64) error {
	path := fmt.Sprintf("%s.before-%d.bak", db.path, latest)
	for n := 2; ; n++ {
		err := copyInto(ctx, db.write, path)
		if err == nil {
			break
		}
		if !errors.Is(err, fs.ErrExist) { // another process may be making its own copy
			return err
		}
		path = fmt.Sprintf("%s.before-%d-%d.bak", db.path, latest, n)
	}
	db.log.InfoContext(ctx, "copied the records before changing their schema", "copy", path)
	return nil
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}
