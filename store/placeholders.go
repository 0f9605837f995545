package store

import (
	"context"
	"database/sql/driver"
	"strconv"
	"strings"

	"github.com/jackc/pgx/v5/stdlib"
)

// numbering is a connector whose connections take parameters as ? and ?1, as SQLite
// does, where PostgreSQL has $1.
type numbering struct{ driver.Connector }

// Connect opens a connection.
func (n numbering) Connect(ctx context.Context) (driver.Conn, error) {
	conn, err := n.Connector.Connect(ctx)
	if err != nil {
		return nil, err
	}
	return numbered{conn.(*stdlib.Conn)}, nil
}

type numbered struct{ *stdlib.Conn }

// PrepareContext prepares a statement.
func (c numbered) PrepareContext(ctx context.Context, query string) (driver.Stmt, error) {
	return c.Conn.PrepareContext(ctx, dollars(query))
}

// ExecContext runs a statement.
func (c numbered) ExecContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Result, error) {
	return c.Conn.ExecContext(ctx, dollars(query), args)
}

// QueryContext runs a query.
func (c numbered) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	return c.Conn.QueryContext(ctx, dollars(query), args)
}

// dollars writes the parameters of a statement as $1, but for what stands in quotes.
func dollars(query string) string {
	if !strings.Contains(query, "?") {
		return query
	}
	var b strings.Builder
	b.Grow(len(query) + len(query)/4)
	next, quoted := 1, false
	for i := range len(query) {
		c := query[i]
		quoted = quoted != (c == '\'')
		if c != '?' || quoted {
			b.WriteByte(c)
			continue
		}
		b.WriteByte('$')
		if i+1 < len(query) && query[i+1] >= '1' && query[i+1] <= '9' {
			continue // the number follows
		}
		b.WriteString(strconv.Itoa(next))
		next++
	}
	return b.String()
}
