package store

import (
	"context"
	"database/sql/driver"
	"strconv"
)

// alonePatience is how long one waits for another that holds a name: it may be working a
// forecast out (assumption).
const alonePatience = 60_000

// alone holds an advisory lock by a connection of its own, which ends with the process
// that has it.
func (p postgres) alone(ctx context.Context, name string) (func(), error) {
	conn, err := p.held.Conn(ctx)
	if err != nil {
		return nil, err
	}
	if _, err := conn.ExecContext(ctx, "SELECT pg_advisory_lock(?, hashtext(?))", writeLock, name); err != nil {
		_ = conn.Close()
		return nil, err
	}
	return func() {
		if _, err := conn.ExecContext(context.WithoutCancel(ctx), "SELECT pg_advisory_unlock(?, hashtext(?))", writeLock, name); err != nil {
			_ = conn.Raw(func(any) error { return driver.ErrBadConn }) // the lock goes with it
		}
		_ = conn.Close()
	}, nil
}

func aloneSettings() map[string]string {
	return map[string]string{"lock_timeout": strconv.Itoa(alonePatience)}
}
