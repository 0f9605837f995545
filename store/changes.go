package store

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"
)

// listenAgain is how long it takes until a lost connection is made again.
const listenAgain = 500 * time.Millisecond

// Changes calls tell for every record that is written, by whichever process, and where
// some may have been missed, until the context ends. A file tells nobody: for one it
// waits for the end.
func (db *DB) Changes(ctx context.Context, tell func()) {
	server, ok := db.engine.(postgres)
	for ok && ctx.Err() == nil {
		if err := server.listen(ctx, tell); err != nil && ctx.Err() == nil {
			db.log.WarnContext(ctx, "the server does not tell of changes; it is asked every second until it does", "error", db.inWords(err))
		}
		select {
		case <-ctx.Done():
		case <-time.After(listenAgain):
		}
	}
	<-ctx.Done()
}

// listen tells of changes as long as a connection lasts.
func (p postgres) listen(ctx context.Context, tell func()) error {
	conn, err := pgx.ConnectConfig(ctx, p.config.Copy())
	if err != nil {
		return err
	}
	defer func() { _ = conn.Close(context.WithoutCancel(ctx)) }()
	if _, err := conn.Exec(ctx, "LISTEN limekeep"); err != nil {
		return err
	}
	tell() // what was written before
	for {
		if _, err := conn.WaitForNotification(ctx); err != nil {
			return err
		}
		tell()
	}
}
