package store

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"time"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
)

// A migration of a server has the number of the one of the file that does the same. The
// first of all has the number of what files had been through by then.
//
//go:embed migrations/postgres/*.sql
var serverMigrationFiles embed.FS

// serverMigrations are the steps that lead from an empty schema to that of today.
func serverMigrations() fs.FS {
	steps, err := fs.Sub(serverMigrationFiles, "migrations/postgres")
	if err != nil {
		panic(err) // the folder is in the program
	}
	return steps
}

// migratePatience is how often, once a second, a process waits for another that brings
// the schema up to date (assumption).
const migratePatience = 300

// migrateServer brings the schema on a server up to date, once however many processes
// start at a time. No copy is taken before: that is the server's own business.
func (db schema) migrateServer(ctx context.Context, known fs.FS) error {
	latest, err := latestVersion(known)
	if err != nil {
		return err
	}
	version, err := db.serverVersion(ctx)
	if err != nil {
		return err
	}
	if err := refuseNewer(db.path, version, latest); err != nil || version == latest {
		return err
	}
	if err := db.makeSchema(ctx); err != nil {
		return err
	}
	locker, err := lock.NewPostgresSessionLocker(lock.WithLockID(writeLock+1), lock.WithLockTimeout(1, migratePatience))
	if err != nil {
		return err
	}
	provider, err := goose.NewProvider(goose.DialectPostgres, db.write, known,
		goose.WithDisableGlobalRegistry(true), goose.WithSlog(db.log), goose.WithSessionLocker(locker))
	if err != nil {
		return err
	}
	began := time.Now()
	if _, err := provider.Up(ctx); err != nil {
		return fmt.Errorf("the change from schema %d to %d: %w", version, latest, err)
	}
	db.log.InfoContext(ctx, "brought the schema of the records up to date", "from", version, "to", latest, "took", time.Since(began))
	return nil
}

// serverVersion returns the number of the last migration that a server has had, 0 for
// none.
func (db schema) serverVersion(ctx context.Context) (int64, error) {
	var there bool
	err := db.write.QueryRowContext(ctx, "SELECT to_regclass(?) IS NOT NULL", serverSchema+"."+goose.DefaultTablename).Scan(&there)
	if err != nil || !there {
		return 0, err
	}
	var version int64
	err = db.write.QueryRowContext(ctx, "SELECT coalesce(max(version_id), 0) FROM "+goose.DefaultTablename+" WHERE is_applied").Scan(&version)
	return version, err
}

// makeSchema makes the schema that the records are in, where it is not there.
func (db schema) makeSchema(ctx context.Context) error {
	return db.inWrite(ctx, func(tx *sql.Tx) error {
		var there bool
		if err := tx.QueryRowContext(ctx, "SELECT to_regnamespace(?) IS NOT NULL", serverSchema).Scan(&there); err != nil || there {
			return err
		}
		_, err := tx.ExecContext(ctx, "CREATE SCHEMA "+serverSchema)
		return err
	})
}
