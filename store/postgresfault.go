package store

import (
	"context"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net"

	"github.com/jackc/pgx/v5/pgconn"
)

const faultSchema = "a part of their schema is not there: restore a backup of the database"

// serverFaults are the words for what a server reports (PostgreSQL error codes,
// appendix A of its manual).
var serverFaults = map[string]string{
	"28P01": "the server does not take this password: put the right one into ~/.pgpass or the variable PGPASSWORD",
	"28000": "the server does not let this user in from here: look at the user's name in the address, and at pg_hba.conf of the server",
	"3D000": "the server has no database of that name: make one, for instance with createdb",
	"42501": "the user may not do this in the database: make the user its owner, or grant CREATE on the database",
	"53100": "the disk of the server is full and nothing was written: make room and try again",
	"53200": "the server is out of memory: try again later",
	"53300": "the server has no connection left: end some, or let it take more (max_connections)",
	"25006": "they may only be read on this server: give the address of the one that takes writes",
	"55P03": faultBusy,
	"40001": "another program was writing at the same moment and nothing was written: try again",
	"40P01": "another program was writing at the same moment and nothing was written: try again",
	"42703": faultSchema,
	"42P01": faultSchema,
	"42883": faultSchema,
	"57P01": "the server is shutting down: try again when it is back",
	"57P02": "the server is shutting down: try again when it is back",
	"57P03": "the server is starting or shutting down: try again in a moment",
	"58030": "the disk of the server failed: look at the server's log",
	"XX001": "the server reports damaged data: look at its log, and restore a backup of the database",
	"XX002": "the server reports a damaged index: look at its log, and have the index built anew",
}

func (p postgres) inWords(err error) error {
	var told *FaultError
	if err == nil || errors.As(err, &told) || errors.Is(err, context.Canceled) {
		return err
	}
	if why := whyServer(err); why != "" {
		return &FaultError{Path: p.address, Why: why, Err: err}
	}
	return err
}

// whyServer says what is the matter, "" where that is no matter of the server.
func whyServer(err error) string {
	var failure *pgconn.PgError
	var connecting *pgconn.ConnectError
	var network *net.OpError
	switch {
	case errors.As(err, &failure):
		if failure.Code == "42501" {
			return fmt.Sprintf("%s (%s)", serverFaults[failure.Code], failure.Message)
		}
		return serverFaults[failure.Code]
	case errors.As(err, &connecting):
		return "no PostgreSQL answers there: start the server, or look at host and port of the address"
	case errors.As(err, &network), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, driver.ErrBadConn):
		return "the connection to the server was lost; what was being written may be there or not: look before you write it again"
	}
	return ""
}

// uniqueViolation is the code of a row whose key is there already.
const uniqueViolation = "23505"

func (postgres) taken(err error) bool {
	var failure *pgconn.PgError
	return errors.As(err, &failure) && failure.Code == uniqueViolation
}
