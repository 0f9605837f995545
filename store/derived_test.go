package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"
)

// What is kept is found under its place, kind and key alone, and in the place of what
// was there before.
func TestDerived(t *testing.T) { onEach(t, testDerived) }

func testDerived(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	keep := func(place, kind, key, data string) {
		t.Helper()
		if err := db.KeepDerived(ctx, place, kind, key, []byte(data), 1000); err != nil {
			t.Fatal(err)
		}
	}
	keep("bar", "plan", "a", "one")
	keep("bar", "plan", "b", "two")
	keep("bar", "water", "a", "three")
	keep("kitchen", "plan", "a", "four")
	keep("bar", "plan", "a", "five")
	for _, c := range []struct{ place, kind, key, want string }{
		{"bar", "plan", "a", "five"}, {"bar", "plan", "b", "two"}, {"bar", "water", "a", "three"}, {"kitchen", "plan", "a", "four"},
		{"bar", "plan", "c", ""}, {"bar", "outlook", "a", ""}, {"home", "plan", "a", ""},
	} {
		got, err := db.Derived(ctx, c.place, c.kind, c.key)
		if err != nil || string(got) != c.want || (got == nil) != (c.want == "") {
			t.Errorf("%s of %s under %s is %q (%v), want %q", c.kind, c.place, c.key, got, err, c.want)
		}
	}
	all, err := db.AllDerived(ctx, "bar", "plan")
	if err != nil || len(all) != 2 || string(all["a"]) != "five" || string(all["b"]) != "two" {
		t.Errorf("all plans of bar are %q (%v)", all, err)
	}
}

// However much is kept, no kind takes more than its share, and the newest stays.
func TestDerivedIsBounded(t *testing.T) { onEach(t, testDerivedIsBounded) }

func testDerivedIsBounded(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	const most = 1000
	for i := range 40 {
		if err := db.KeepDerived(ctx, "bar", "plan", fmt.Sprint(i), bytes.Repeat([]byte{byte(i)}, 50+10*i), most); err != nil {
			t.Fatal(err)
		}
		all, err := db.AllDerived(ctx, "bar", "plan")
		if err != nil {
			t.Fatal(err)
		}
		held := 0
		for _, data := range all {
			held += len(data)
		}
		if held > most {
			t.Fatalf("after %d, %d bytes are held, want %d at the most", i, held, most)
		}
		if all[fmt.Sprint(i)] == nil {
			t.Fatalf("the newest, %d, is not there", i)
		}
	}
	if err := db.KeepDerived(ctx, "bar", "plan", "large", make([]byte, most+1), most); err != nil {
		t.Fatal(err)
	}
	if got, _ := db.Derived(ctx, "bar", "plan", "large"); got != nil {
		t.Error("what is larger than all that may be kept is kept")
	}
	if all, _ := db.AllDerived(ctx, "bar", "plan"); len(all) == 0 {
		t.Error("what is not kept takes the place of what is")
	}
}

// Each flipped bit of what is kept is told, wherever it lies.
func TestDerivedDamaged(t *testing.T) { onEach(t, testDerivedDamaged) }

func testDerivedDamaged(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	data := []byte("worked out")
	changes := []string{
		"UPDATE derived SET data = CAST(x'00' || substr(data, 2) AS BLOB)",
		"UPDATE derived SET data = substr(data, 1, length(data) - 1)",
		"UPDATE derived SET data = x''",
		"UPDATE derived SET sum = zeroblob(16)",
		"UPDATE derived SET key = 'other'",
		"UPDATE derived SET kind = 'other'",
		"UPDATE derived SET place = 'other'",
	}
	if db.OnServer() { // which writes bytes its own way
		changes[0] = `UPDATE derived SET data = '\x00'::bytea || substr(data, 2)`
		changes[2] = `UPDATE derived SET data = ''::bytea`
		changes[3] = `UPDATE derived SET sum = '\x00000000000000000000000000000000'::bytea`
	}
	for _, change := range changes {
		if err := db.KeepDerived(ctx, "bar", "plan", "a", data, 1000); err != nil {
			t.Fatal(err)
		}
		if got, err := db.Derived(ctx, "bar", "plan", "a"); err != nil || !bytes.Equal(got, data) {
			t.Fatalf("kept %q (%v)", got, err)
		}
		if _, err := db.write.Exec(change); err != nil {
			t.Fatal(err)
		}
		for _, place := range []string{"bar", "other"} {
			for _, kind := range []string{"plan", "other"} {
				for _, key := range []string{"a", "other"} {
					if got, err := db.Derived(ctx, place, kind, key); got != nil || err != nil {
						t.Errorf("after %q %s of %s under %s is %q (%v)", change, kind, place, key, got, err)
					}
				}
				if all, err := db.AllDerived(ctx, place, kind); len(all) != 0 || err != nil {
					t.Errorf("after %q all of %s of %s are %q (%v)", change, kind, place, all, err)
				}
			}
		}
		if _, err := db.write.Exec("DELETE FROM derived"); err != nil {
			t.Fatal(err)
		}
	}
}

// While another process writes, nothing is kept and nobody waits for long; who writes
// records afterwards waits as patiently as before.
func TestDerivedWaitsForNobody(t *testing.T) { onEach(t, testDerivedWaitsForNobody) }

func testDerivedWaitsForNobody(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	other, err := Open(ctx, db.Path(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	tx, err := other.write.BeginTx(ctx, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := other.engine.lock(ctx, tx); err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	err = db.KeepDerived(ctx, "bar", "plan", "a", []byte("x"), 1000)
	if err == nil {
		t.Error("it was kept while another wrote")
	}
	if err := tx.Rollback(); err != nil {
		t.Fatal(err)
	}
	t.Logf("gave up after %v: %v", time.Since(began), err)
	var patience int
	asked := "PRAGMA busy_timeout"
	if db.OnServer() {
		asked = "SELECT setting FROM pg_settings WHERE name = 'lock_timeout'" // in milliseconds
	}
	if err := db.write.QueryRow(asked).Scan(&patience); err != nil || patience != busyMilliseconds {
		t.Errorf("writers wait %d ms afterwards (%v), want %d", patience, err, busyMilliseconds)
	}
	if err := db.KeepDerived(ctx, "bar", "plan", "a", []byte("x"), 1000); err != nil {
		t.Error(err)
	}
}

// What is derived is no record: the version stays, a backup is sound, and a context that
// ended is told.
func TestDerivedIsNoRecord(t *testing.T) { onEach(t, testDerivedIsNoRecord) }

func testDerivedIsNoRecord(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	before, err := db.Version(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if err := db.KeepDerived(ctx, "bar", "plan", "a", []byte("x"), 1000); err != nil {
		t.Fatal(err)
	}
	if after, err := db.Version(ctx); err != nil || after != before {
		t.Errorf("the version goes from %d to %d (%v)", before, after, err)
	}
	if err := db.Check(ctx); err != nil {
		t.Error(err)
	}
	ended, stop := context.WithCancel(ctx)
	stop()
	if err := db.KeepDerived(ended, "bar", "plan", "b", []byte("x"), 1000); !errors.Is(err, context.Canceled) {
		t.Errorf("kept for nobody: %v", err)
	}
	all, err := db.AllDerived(ctx, "bar", "plan")
	if err != nil || len(all) != 1 || !slices.Equal(all["a"], []byte("x")) {
		t.Errorf("kept are %q (%v)", all, err)
	}
}
