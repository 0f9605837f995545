package store

import (
	"context"
	"path/filepath"
	"sync"
	"testing"

	"limekeep/schedule/record"
)

func TestOpenSideBySide(t *testing.T) {
	path := filepath.Join(t.TempDir(), "records.db")
	var group sync.WaitGroup
	for i := range 4 {
		group.Go(func() {
			db, err := Open(context.Background(), path, nil)
			if err != nil {
				t.Error(err)
				return
			}
			defer db.Close()
			if _, err := db.Append(context.Background(), entry(day(1+i), record.Retired{Equipment: "grinder"})); err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	if n := len(mustHistory(t, openAt(t, path), day(30))); n != 4 {
		t.Errorf("%d records, want 4", n)
	}
}

// Readers see whole batches or none of them while they are written and voided.
func TestReadersSideBySideWithWriter(t *testing.T) { onEach(t, testReadersSideBySideWithWriter) }

func testReadersSideBySideWithWriter(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	const batches, rowsEach = 25, 70
	done := make(chan struct{})
	var group sync.WaitGroup
	for range 3 {
		group.Go(func() {
			for finished := false; !finished; {
				select {
				case <-done:
					finished = true // and look once more
				default:
				}
				book, err := db.Read(ctx, "home", day(30))
				if err != nil {
					t.Error(err)
					return
				}
				says, has := 0, 0.0
				for _, b := range book.UseBatches("machine") {
					says += b.Body.Rows
				}
				for _, d := range book.Days {
					has += d.Shots
				}
				if float64(says) != has || says%rowsEach != 0 {
					t.Errorf("batches say %d shots, days say %g", says, has)
					return
				}
			}
		})
	}
	for i := range batches {
		var rows []record.UseRow
		for j := range rowsEach {
			rows = append(rows, shot(day(1+j%3), i*10+j/10))
			rows[j].Ordinal = j % 10
			rows[j].Minute = i*30 + j/10
		}
		result, err := db.AppendUse(ctx, entry(0, record.UseBatch{Machine: "machine"}), rowsOf(rows...))
		if err == nil && i%3 == 0 {
			_, err = db.Append(ctx, entry(0, record.Void{Record: result.ID}))
		}
		if err != nil {
			t.Error(err)
			break
		}
	}
	close(done)
	group.Wait()
	if err := db.Check(ctx); err != nil {
		t.Error(err)
	}
}

func TestVoidsSideBySide(t *testing.T) { onEach(t, testVoidsSideBySide) }

func testVoidsSideBySide(t *testing.T, open opener) {
	db := open(t)
	other := openAt(t, db.Path())
	for range 20 {
		id := mustAppend(t, db, entry(day(1), record.Service{Task: "wrong"}))[0]
		outcome := make(chan error, 2)
		for _, by := range []*DB{db, other} {
			go func() {
				_, err := by.Append(context.Background(), entry(day(1), record.Void{Record: id}))
				outcome <- err
			}()
		}
		one, two := <-outcome, <-outcome
		if (one == nil) == (two == nil) {
			t.Fatalf("two voids of one record: %v and %v", one, two)
		}
	}
}
