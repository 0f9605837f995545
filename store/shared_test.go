package store

import (
	"context"
	"errors"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// What is remembered is found under its kind and key until its time is over.
func TestRemembered(t *testing.T) { onEach(t, testRemembered) }

func testRemembered(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	now := time.Date(2026, time.May, 1, 12, 0, 0, 0, time.UTC)
	db.now = func() time.Time { return now }
	recall := func(kind, key string) string {
		t.Helper()
		value, ok, err := db.Recall(ctx, kind, key)
		if err != nil || ok != (value != "") {
			t.Errorf("%s %s: %q, %t, %v", kind, key, value, ok, err)
		}
		return value
	}
	for _, err := range []error{
		db.Remember(ctx, "a", "k", "1", time.Minute), db.Remember(ctx, "a", "l", "2", time.Hour),
		db.Remember(ctx, "b", "k", "3", time.Hour), db.Remember(ctx, "a", "k", "4", time.Minute),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	all, err := db.RecallAll(ctx, "a")
	if err != nil || len(all) != 2 || all["k"] != "4" || all["l"] != "2" || recall("b", "k") != "3" || recall("b", "l") != "" {
		t.Errorf("%v, %v", all, err)
	}
	now = now.Add(2 * time.Minute)
	if recall("a", "k") != "" || recall("a", "l") != "2" {
		t.Error("its time is over and it is there, or the other way round")
	}
	if err := db.Forget(ctx, "a", "l"); err != nil || recall("a", "l") != "" {
		t.Errorf("it is not forgotten: %v", err)
	}
}

// The token of a form is kept with its records, both or neither.
func TestFormIsKeptWithItsRecords(t *testing.T) { onEach(t, testFormIsKeptWithItsRecords) }

func testFormIsKeptWithItsRecords(t *testing.T, open opener) {
	db := open(t)
	ctx := schedule.WithForm(context.Background(), "token")
	if _, err := db.Append(ctx, entry(day(1), record.Service{Task: "t"}), entry(day(1), record.Void{Record: 99})); err == nil {
		t.Fatal("a record that cannot be was kept")
	}
	if _, ok, err := db.Recall(ctx, schedule.FormKind, "token"); ok || err != nil {
		t.Errorf("the token of what was not kept is: %v", err)
	}
	id := mustAppendWith(ctx, t, db, entry(day(1), record.Service{Task: "t"}))
	if value, ok, err := db.Recall(ctx, schedule.FormKind, "token"); !ok || value != strconv.FormatInt(id, 10) || err != nil {
		t.Errorf("the token wrote %q, want %d: %v", value, id, err)
	}
}

func mustAppendWith(ctx context.Context, t *testing.T, db *DB, e record.Entry) int64 {
	t.Helper()
	ids, err := db.Append(ctx, e)
	if err != nil {
		t.Fatal(err)
	}
	return ids[0]
}

// Of servers that want the same name one has it at a time; another name is free.
func TestAloneSideBySide(t *testing.T) {
	address := emptyServerOrSkip(t)
	ctx := context.Background()
	var inside, most atomic.Int64
	var wait sync.WaitGroup
	for range 3 {
		db := openAt(t, address)
		for range 2 {
			wait.Go(func() {
				for range 5 {
					release, err := db.Alone(ctx, "home")
					if err != nil {
						t.Error(err)
						return
					}
					n := inside.Add(1)
					for m := most.Load(); n > m && !most.CompareAndSwap(m, n); m = most.Load() {
						continue
					}
					other, err := db.Alone(ctx, "bar "+strconv.FormatInt(n, 10))
					if err != nil {
						t.Error(err)
					} else {
						other()
					}
					inside.Add(-1)
					release()
				}
			})
		}
	}
	wait.Wait()
	if most.Load() != 1 {
		t.Errorf("%d had it at a time", most.Load())
	}
	db := openAt(t, address)
	release, err := db.Alone(ctx, "home")
	if err != nil {
		t.Fatal(err)
	}
	defer release()
	soon, stop := context.WithTimeout(ctx, 50*time.Millisecond)
	defer stop()
	if _, err := openAt(t, address).Alone(soon, "home"); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("it was had twice: %v", err)
	}
}

// A record that one process writes is told to another, which need not ask.
func TestChangesAreToldSideBySide(t *testing.T) {
	address := emptyServerOrSkip(t)
	listener, writer := openAt(t, address), openAt(t, address)
	ctx, stop := context.WithCancel(context.Background())
	told := make(chan struct{}, 100)
	var wait sync.WaitGroup
	wait.Go(func() { listener.Changes(ctx, func() { told <- struct{}{} }) })
	<-told // it listens
	mustAppend(t, writer, entry(day(1), record.Service{Task: "t"}))
	<-told
	// What ends the connection is got over, and what was missed is told.
	if _, err := writer.write.Exec("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND query = 'LISTEN limekeep'"); err != nil {
		t.Fatal(err)
	}
	<-told
	mustAppend(t, writer, entry(day(1), record.Service{Task: "t"}))
	<-told
	stop()
	wait.Wait()
}
