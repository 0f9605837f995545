package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"fmt"
)

// bulkInsert runs one statement over and over, past the copies and checks that
// database/sql makes of every value: they cost as much again as the insert.
// What it is given must be int64, float64, string or nil.
type bulkInsert struct {
	conn  *sql.Conn
	stmt  driver.StmtExecContext
	named []driver.NamedValue
}

// newBulkInsert prepares a statement with so many parameters. It must be closed
// before its connection is.
func newBulkInsert(ctx context.Context, conn *sql.Conn, query string, parameters int) (*bulkInsert, error) {
	b := &bulkInsert{conn: conn, named: make([]driver.NamedValue, parameters)}
	for i := range b.named {
		b.named[i].Ordinal = i + 1
	}
	err := conn.Raw(func(raw any) error {
		preparer, ok := raw.(driver.ConnPrepareContext)
		if !ok {
			return fmt.Errorf("the driver's %T cannot prepare statements", raw)
		}
		stmt, err := preparer.PrepareContext(ctx, query)
		if err != nil {
			return err
		}
		if b.stmt, ok = stmt.(driver.StmtExecContext); !ok {
			_ = stmt.Close()
			return fmt.Errorf("the driver's %T cannot be run", stmt)
		}
		return nil
	})
	return b, err
}

// exec runs the statement with values for all of its parameters.
func (b *bulkInsert) exec(ctx context.Context, values []any) error {
	for i := range b.named {
		b.named[i].Value = values[i]
	}
	return b.conn.Raw(func(any) error {
		// A context that ended may have rolled the transaction back already, and
		// what is written then would stand by itself. It cannot end in between:
		// the rollback waits for this function.
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		_, err := b.stmt.ExecContext(ctx, b.named)
		return err
	})
}

func (b *bulkInsert) close() error {
	return b.conn.Raw(func(any) error {
		return b.stmt.(driver.Stmt).Close()
	})
}
