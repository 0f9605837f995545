package store

import (
	"context"
	"sync"
	"testing"

	"limekeep/store/testserver"
)

// opener opens fresh records that the test's end closes.
type opener func(testing.TB) *DB

// onEach runs a test of what both databases promise on each of them. What is left to
// SQLite alone are matters of its file: its write-ahead log, copies of it, and a disk
// that fails under it. With -short there is no server.
func onEach(t *testing.T, test func(*testing.T, opener)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) { test(t, openTest) })
	if testing.Short() {
		return
	}
	t.Run("postgres", func(t *testing.T) { test(t, openTestServer) })
}

// openTestServer opens a fresh database that the test's end closes.
func openTestServer(t testing.TB) *DB {
	t.Helper()
	return openAt(t, emptyServer(t))
}

// emptyServer returns the address of a database whose schema is up to date and that
// holds nothing.
func emptyServer(t testing.TB) string {
	t.Helper()
	model.Do(func() {
		address := testserver.Database(t)
		db, err := Open(context.Background(), address, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		modelAddress = address
	})
	return testserver.Like(t, modelAddress)
}

// unguarded is the statement that takes a trigger away, as nobody but an attacker does.
func unguarded(db *DB, table, trigger string) string {
	if db.OnServer() {
		return "DROP TRIGGER " + trigger + " ON " + table
	}
	return "DROP TRIGGER " + trigger
}

var (
	model        sync.Once
	modelAddress string
)
