package store

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// everything writes what there can be: records of each kind, voided ones, use with words,
// and all that is state.
func everything(t *testing.T, db *DB) (password, session, guest, invited string) {
	t.Helper()
	ctx := context.Background()
	fill(t, db)
	wrong := mustAppend(t, db, entry(day(1), record.Service{Task: "wrong", Note: "\"quoted\" \u2028 ☕"}))[0]
	mustAppend(t, db, entry(day(1), record.Void{Record: wrong}))
	if err := db.SetOwnerPassword(ctx, "correct horse battery"); err != nil {
		t.Fatal(err)
	}
	password, err := db.AddPassword(ctx, "home", "Phone", ScopeAll)
	if err != nil {
		t.Fatal(err)
	}
	if session, err = db.BeginSession(ctx, "a browser"); err != nil {
		t.Fatal(err)
	}
	first, err := db.Invite(ctx, Person{Name: "Anna", Role: "reader", Places: []string{"home"}})
	if err != nil {
		t.Fatal(err)
	}
	var ok bool
	if guest, ok, err = db.Accept(ctx, first, "a phone"); err != nil || !ok {
		t.Fatal(ok, err)
	}
	if invited, err = db.Invite(ctx, Person{Name: "Ben", Role: "technician"}); err != nil {
		t.Fatal(err)
	}
	for _, err := range []error{
		second(db.Secret(ctx, "home")), second(db.SetObjects(ctx, "home", map[string]string{"a": "1", "b": "2"})),
		second(db.SetObjects(ctx, "home", map[string]string{"a": "1"})), second(db.Touch(ctx, "home", "a")),
		db.SetMark(ctx, "home", "uid", schedule.Mark{Kind: schedule.MarkTicked, At: entered}),
		db.KeepSitting(ctx, "home", schedule.BegunSitting{ID: "s", Begun: entered, Over: true, Checklist: []byte(`{"x":1}`)}),
		db.KeepSitting(ctx, "home", schedule.BegunSitting{ID: "open", Begun: entered, Checklist: []byte(`{}`)}),
		db.SetServedAddress(ctx, "home", "http://127.0.0.1:8321"),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return password, session, guest, invited
}

// Copied from a file to a server and back to another file, everything is as it was, and
// what comes after gets numbers of its own.
func TestCopyThereAndBack(t *testing.T) {
	if testing.Short() {
		t.Skip("with -short there is no server")
	}
	ctx := context.Background()
	first, server, last := openTest(t), openTestServer(t), openTest(t)
	password, session, guest, invited := everything(t, first)
	if err := server.SetOwnerPassword(ctx, "of an empty database"); err != nil { // state that was there gives way
		t.Fatal(err)
	}
	was := first.mustSync(t)
	for _, step := range [][2]*DB{{first, server}, {server, last}} {
		done, err := Copy(ctx, step[0], step[1])
		if err != nil {
			t.Fatal(err)
		}
		if all, err := historyOf(ctx, first, "home"); err != nil || done.Records < int64(len(all)) || done.Lines == 0 {
			t.Errorf("%+v of at least %d records, %v", done, len(all), err)
		}
		to := step[1]
		if diff := cmp.Diff(exported(t, first), exported(t, to)); diff != "" {
			t.Errorf("records, -from +to:\n%s", diff)
		}
		if diff := cmp.Diff(allSums(t, first), allSums(t, to)); diff != "" {
			t.Errorf("sums, -from +to:\n%s", diff)
		}
		if diff := cmp.Diff(was, to.mustSync(t)); diff != "" {
			t.Errorf("what task apps were shown, -from +to:\n%s", diff)
		}
		_, app, err := to.CheckPassword(ctx, "home", password, ScopeTasks)
		known, err2 := to.SessionKnown(ctx, session)
		owner, err3 := to.CheckOwnerPassword(ctx, "correct horse battery")
		if !app || !known || !owner || errors.Join(err, err2, err3) != nil {
			t.Errorf("app %t, session %t, owner %t: %v", app, known, owner, errors.Join(err, err2, err3))
		}
		if p, ok, err := to.PersonOf(ctx, guest); err != nil || !ok || p.Name != "Anna" || p.Role != "reader" {
			t.Errorf("who was signed in as a reader is %+v, %t, %v", p, ok, err)
		}
		if p, ok, err := to.PersonOf(ctx, session); err != nil || ok {
			t.Errorf("the owner is taken for %+v, %v", p, err)
		}
		if p, ok, err := to.Invited(ctx, invited); err != nil || !ok || p.Name != "Ben" {
			t.Errorf("the invitation leads to %+v, %t, %v", p, ok, err)
		}
		secret, err := to.Secret(ctx, "home")
		if want, err2 := first.Secret(ctx, "home"); secret != want || errors.Join(err, err2) != nil {
			t.Errorf("the calendar's secret is another: %v", errors.Join(err, err2))
		}
		sittings, err := to.BegunSittings(ctx, "home", 10)
		if err != nil || len(sittings) != 2 || !slices.ContainsFunc(sittings, func(s schedule.BegunSitting) bool { return s.ID == "s" && s.Over }) {
			t.Errorf("sittings %+v, %v", sittings, err)
		}
	}
	before, err := server.Version(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if id := mustAppend(t, server, entry(day(5), record.Service{Task: "after"}))[0]; id != before+1 {
		t.Errorf("the first record after the copy has number %d, want %d", id, before+1)
	}
	mustAppendUse(t, server, record.UseBatch{Machine: "machine"}, worded(shot(day(9), 480), "7", "new words"))
	if err := server.Check(ctx); err != nil {
		t.Error(err)
	}
}

func (db *DB) mustSync(t *testing.T) schedule.SyncState {
	t.Helper()
	s, err := db.SyncState(context.Background(), "home")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Records that are there already are never mixed with others, and nothing of a copy that
// was broken off stays.
func TestCopyRefuses(t *testing.T) { onEach(t, testCopyRefuses) }

func testCopyRefuses(t *testing.T, open opener) {
	ctx := context.Background()
	from, to := openTest(t), open(t)
	fill(t, from)
	mustAppend(t, to, entry(day(1), record.Retired{Equipment: "grinder"}))
	before := exported(t, to)
	var full *NotEmptyError
	if _, err := Copy(ctx, from, to); !errors.As(err, &full) || full.Path != to.Path() || !strings.Contains(err.Error(), "not empty") {
		t.Errorf("%v, want a NotEmptyError", err)
	}
	if exported(t, to) != before {
		t.Error("the records were touched")
	}
	empty := open(t)
	ended, stop := context.WithCancel(ctx)
	stop()
	if _, err := Copy(ended, from, empty); !errors.Is(err, context.Canceled) {
		t.Errorf("copied for nobody: %v", err)
	}
	assertEmpty(t, empty)
}

// Every table is either copied or named with those that are not.
func TestCopyKnowsEveryTable(t *testing.T) { onEach(t, testCopyKnowsEveryTable) }

func testCopyKnowsEveryTable(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	tx, err := db.read.BeginTx(ctx, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer tx.Rollback()
	parts := map[string]bool{}
	if err := partsOf(ctx, db.engine, tx, parts); err != nil {
		t.Fatal(err)
	}
	n := 0
	for part := range parts {
		table, ok := strings.CutPrefix(part, "table ")
		if !ok {
			continue
		}
		n++
		if strings.HasPrefix(table, "river_") { // jobs of a night, which is over
			continue
		}
		known := slices.Contains(notCopied, table)
		for _, c := range copied {
			known = known || c.table == table
		}
		if !known {
			t.Errorf("the table %s is neither copied nor named as one that is not", table)
		}
	}
	if n < len(copied) {
		t.Errorf("only %d tables", n)
	}
}

// One value that comes back as another is told.
func TestDigestTellsApart(t *testing.T) {
	same := [][]any{{int64(1)}, {true}}
	sums := map[string][]byte{}
	for _, values := range append(same, []any{int64(0)}, []any{"1"}, []any{[]byte("1")}, []any{1.0}, []any{nil}, []any{"a", "b"}, []any{"ab", ""}) {
		d := newDigest()
		d.add(values)
		sum := d.sum.Sum(nil)
		for other, its := range sums {
			if bytes.Equal(sum, its) && other != "[1]int64" {
				t.Errorf("%v has the sum of %s", values, other)
			}
		}
		if values[0] == any(int64(1)) {
			sums["[1]int64"] = sum
		} else if values[0] != any(true) {
			sums[string(sum)] = sum
		} else if !bytes.Equal(sum, sums["[1]int64"]) {
			t.Error("true is not 1, as a file keeps it")
		}
	}
}
