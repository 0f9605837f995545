package store

import (
	"context"
	"database/sql"
	"fmt"
	"log/slog"
	"maps"
	"slices"
)

// form finds what the tables are not like those that the program makes of a new file: a bit that
// is flipped in their description is in pages that are whole.
func (c *checking) form(ctx context.Context, tx *sql.Tx) error {
	want, err := partsOfNew(ctx)
	if err != nil {
		return err
	}
	has := map[string]bool{}
	if err := partsOf(ctx, c.engine, tx, has); err != nil {
		return err
	}
	for _, part := range slices.Sorted(maps.Keys(want)) {
		if !has[part] {
			c.found(fmt.Sprintf("the %s is not there", part))
		}
	}
	return nil
}

// partsOfNew are the parts of new records, which are made in memory: that the disk is full is
// no damage.
func partsOfNew(ctx context.Context) (map[string]bool, error) {
	pool, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return nil, err
	}
	defer pool.Close()
	pool.SetMaxOpenConns(1) // each has a memory of its own
	fresh := &connections{engine: sqliteFile{}, write: pool, read: pool, log: slog.New(slog.DiscardHandler)}
	latest, err := latestVersion(migrations())
	if err != nil {
		return nil, err
	}
	if err := (schema{fresh}).takeSteps(ctx, migrations(), latest); err != nil {
		return nil, err
	}
	parts := map[string]bool{}
	return parts, fresh.inRead(ctx, func(tx *sql.Tx) error { return partsOf(ctx, fresh.engine, tx, parts) })
}

// partsOf gathers the names of tables, of their columns, and of what watches over them.
func partsOf(ctx context.Context, e engine, tx *sql.Tx, into map[string]bool) error {
	return each(ctx, tx, func(rows *sql.Rows) error {
		var part string
		if err := rows.Scan(&part); err != nil {
			return err
		}
		into[part] = true
		return nil
	}, e.parts())
}

func (sqliteFile) parts() string {
	return `SELECT type || ' ' || name FROM sqlite_schema WHERE name NOT LIKE 'sqlite\_%' ESCAPE '\'
		UNION ALL SELECT 'column ' || p.name || ' of ' || s.name FROM sqlite_schema s, pragma_table_info(s.name) p WHERE s.type = 'table' AND s.name NOT LIKE 'sqlite\_%' ESCAPE '\'`
}
