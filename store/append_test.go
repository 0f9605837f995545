package store

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

func TestEveryKindComesBack(t *testing.T) { onEach(t, testEveryKindComesBack) }

func testEveryKindComesBack(t *testing.T, open opener) {
	db := open(t)
	var want []record.Entry
	kinds := map[record.Kind]bool{}
	for i, body := range someBodies() {
		e := entry(day(1+i), body)
		if batch, ok := body.(record.UseBatch); ok {
			e.Effective = batch.From
		}
		want = append(want, e)
		kinds[e.Kind()] = true
	}
	for i, id := range mustAppend(t, db, want...) {
		want[i].ID = id
	}
	void := entry(0, record.Void{Record: want[4].ID, Why: "wrong grinder"})
	void.ID = mustAppend(t, db, void)[0]
	void.Effective = want[4].Effective
	kinds[void.Kind()] = true
	want[4].Voided = void.ID
	want = append(want, void)
	for _, kind := range []record.Kind{record.KindPlace, record.KindEquipment, record.KindRetired, record.KindWaterTest,
		record.KindUse, record.KindService, record.KindVoid, record.KindPublication} {
		if !kinds[kind] {
			t.Errorf("no %s among the records tried", kind)
		}
	}

	slices.SortFunc(want, func(a, b record.Entry) int {
		if a.Effective != b.Effective {
			return int(a.Effective - b.Effective)
		}
		return int(a.ID - b.ID)
	})
	if diff := cmp.Diff(want, mustHistory(t, db, day(40))); diff != "" {
		t.Errorf("history, -want +got:\n%s", diff)
	}
	var unvoided []record.Entry
	for _, e := range want {
		found, err := db.Find(context.Background(), e.ID)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(e, found); diff != "" {
			t.Errorf("found by id, -want +got:\n%s", diff)
		}
		if e.Voided == 0 {
			unvoided = append(unvoided, e)
		}
	}
	if diff := cmp.Diff(unvoided, mustRead(t, db, day(40)).Entries); diff != "" {
		t.Errorf("book, -want +got:\n%s", diff)
	}
}

func TestEnteredIsKeptInUTC(t *testing.T) { onEach(t, testEnteredIsKeptInUTC) }

func testEnteredIsKeptInUTC(t *testing.T, open opener) {
	db := open(t)
	e := entry(day(1), record.Retired{Equipment: "grinder"})
	e.Entered = time.Date(2026, time.October, 25, 2, 30, 0, 5, time.FixedZone("", 2*3600))
	id := mustAppend(t, db, e)[0]
	found, err := db.Find(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	if !found.Entered.Equal(e.Entered) || found.Entered.Location() != time.UTC {
		t.Errorf("entered %v came back as %v", e.Entered, found.Entered)
	}
}

// A day sees what is effective on or before it, whenever it was entered.
func TestUntil(t *testing.T) { onEach(t, testUntil) }

func testUntil(t *testing.T, open opener) {
	db := open(t)
	late := mustAppend(t, db, entry(day(9), record.Service{Task: "late"}))[0]
	same := mustAppend(t, db, entry(day(5), record.Service{Task: "same day, entered after"}))[0]
	early := entry(day(2), record.Service{Task: "early, entered long after"})
	early.Entered = entered.AddDate(1, 0, 0)
	first := mustAppend(t, db, early)[0]

	for _, test := range []struct {
		until record.Date
		want  []int64
	}{
		{0, nil},
		{day(1), nil},
		{day(2), []int64{first}},
		{day(5), []int64{first, same}},
		{day(8), []int64{first, same}},
		{day(9), []int64{first, same, late}},
		{math.MaxInt32, []int64{first, same, late}},
	} {
		if got := idsOf(mustRead(t, db, test.until).Entries); !slices.Equal(got, test.want) {
			t.Errorf("book until %v: %v, want %v", test.until, got, test.want)
		}
		if got := idsOf(mustHistory(t, db, test.until)); !slices.Equal(got, test.want) {
			t.Errorf("history until %v: %v, want %v", test.until, got, test.want)
		}
	}
}

func idsOf(entries []record.Entry) []int64 {
	var ids []int64
	for _, e := range entries {
		ids = append(ids, e.ID)
	}
	return ids
}

func TestPlaces(t *testing.T) { onEach(t, testPlaces) }

func testPlaces(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	places, err := db.Places(ctx)
	if err != nil || len(places) != 0 {
		t.Fatalf("a new file has places %v, %v", places, err)
	}
	for _, id := range []string{"workshop", "bar", "workshop", "attic"} {
		e := entry(day(1), record.Place{ID: id, Zone: "Asia/Kolkata"})
		e.Place = id
		mustAppend(t, db, e)
	}
	void := entry(day(1), record.Void{Record: 4})
	void.Place = "attic"
	mustAppend(t, db, void)
	places, err = db.Places(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"bar", "workshop"}, places); diff != "" {
		t.Errorf("places, -want +got:\n%s", diff)
	}
	for i, district := range []string{"", "north", "south"} { // one after another of the bar
		e := entry(day(2+i), record.Place{ID: "bar", Zone: "Asia/Kolkata", District: district})
		e.Place = "bar"
		mustAppend(t, db, e)
	}
	districts, err := db.Districts(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(map[string]string{"bar": "south"}, districts); diff != "" {
		t.Errorf("districts, -want +got:\n%s", diff)
	}
	if n := len(mustRead(t, db, day(9)).Entries); n != 0 {
		t.Errorf("a place that was not set up has %d records of others", n)
	}
}

func TestVoid(t *testing.T) { onEach(t, testVoid) }

func testVoid(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	wrong := mustAppend(t, db, entry(day(3), record.Service{Task: "wrong"}))[0]
	right := mustAppend(t, db, entry(day(3), record.Service{Task: "right"}))[0]
	// Whatever day is given, the void counts from the day of what it voids.
	void := mustAppend(t, db, entry(day(30), record.Void{Record: wrong}))[0]

	if got := idsOf(mustRead(t, db, day(3)).Entries); !slices.Equal(got, []int64{right, void}) {
		t.Errorf("book has %v, want %v", got, []int64{right, void})
	}
	elsewhere := entry(day(3), record.Void{Record: right})
	elsewhere.Place = "bar"
	for _, test := range []struct {
		name   string
		entry  record.Entry
		record int64
		by     int64
	}{
		{"a second time", entry(day(3), record.Void{Record: wrong}), wrong, void},
		{"a void", entry(day(3), record.Void{Record: void}), void, 0},
		{"of another place", elsewhere, right, 0},
	} {
		_, err := db.Append(ctx, test.entry)
		var refused *VoidError
		if !errors.As(err, &refused) || refused.Record != test.record || refused.By != test.by {
			t.Errorf("voiding %s: %v", test.name, err)
		}
	}
	_, err := db.Append(ctx, entry(day(3), record.Void{Record: 99}))
	if !errors.Is(err, record.ErrUnknown) || !strings.Contains(err.Error(), "99") {
		t.Errorf("voiding what is not there: %v", err)
	}
	_, err = db.Append(ctx, entry(day(3), record.Void{Record: right}), entry(day(3), record.Void{Record: right}))
	if refused := (*VoidError)(nil); !errors.As(err, &refused) {
		t.Errorf("voiding the same record twice at once: %v", err)
	}
	if n := len(mustHistory(t, db, day(30))); n != 3 {
		t.Errorf("refused voids left %d records, want 3", n)
	}
}

func TestFindUnknown(t *testing.T) { onEach(t, testFindUnknown) }

func testFindUnknown(t *testing.T, open opener) {
	db := open(t)
	for _, id := range []int64{-1, 0, 1, math.MaxInt64} {
		if _, err := db.Find(context.Background(), id); !errors.Is(err, record.ErrUnknown) {
			t.Errorf("record %d: %v", id, err)
		}
	}
}

func TestAppendAllOrNothing(t *testing.T) { onEach(t, testAppendAllOrNothing) }

func testAppendAllOrNothing(t *testing.T, open opener) {
	db := open(t)
	good := entry(day(1), record.Retired{Equipment: "grinder"})
	changed := func(change func(*record.Entry)) record.Entry {
		e := good
		change(&e)
		return e
	}
	for _, test := range []struct {
		name  string
		bad   record.Entry
		field string
	}{
		{"no body", changed(func(e *record.Entry) { e.Body = nil }), "body"},
		{"a body that is not valid", changed(func(e *record.Entry) { e.Body = record.Retired{} }), "equipment"},
		{"no place", changed(func(e *record.Entry) { e.Place = "" }), "place"},
		{"a place under another id", changed(func(e *record.Entry) { e.Body = record.Place{ID: "bar", Zone: "UTC"} }), "place"},
		{"no day", changed(func(e *record.Entry) { e.Effective = 0 }), "effective"},
		{"a day no file can hold", changed(func(e *record.Entry) { e.Effective = lastDate + 1 }), "effective"},
		{"no instant", changed(func(e *record.Entry) { e.Entered = time.Time{} }), "entered"},
		{"rows without rows", changed(func(e *record.Entry) {
			e.Body = record.UseBatch{Machine: "machine", From: day(1), To: day(1), Rows: 2}
		}), "rows"},
		{"a void of nothing", changed(func(e *record.Entry) { e.Body = record.Void{} }), "record"},
	} {
		t.Run(test.name, func(t *testing.T) {
			ids, err := db.Append(context.Background(), good, test.bad, good)
			var field *record.FieldError
			if !errors.As(err, &field) || field.Field != test.field {
				t.Errorf("error %v, want one about %s", err, test.field)
			}
			if err != nil && !strings.Contains(err.Error(), "entry 2 of 3") {
				t.Errorf("error %q does not say which entry", err)
			}
			if ids != nil {
				t.Errorf("ids %v of records not kept", ids)
			}
		})
	}
	if kept := mustHistory(t, db, lastDate); len(kept) != 0 {
		t.Errorf("%d records were kept", len(kept))
	}
	if ids, err := db.Append(context.Background()); err != nil || ids != nil {
		t.Errorf("appending nothing: %v, %v", ids, err)
	}
}

// The file itself refuses to change or lose what was written.
func TestAppendOnly(t *testing.T) { onEach(t, testAppendOnly) }

func testAppendOnly(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	wrong := mustAppend(t, db, entry(day(1), record.Service{Task: "wrong"}))[0]
	mustAppend(t, db, entry(day(1), record.Void{Record: wrong}))
	if _, err := db.AppendUse(ctx, entry(0, record.UseBatch{Machine: "machine"}), rowsOf(worded(shot(day(2), 480), "4.5", "latte"))); err != nil {
		t.Fatal(err)
	}
	before := mustHistory(t, db, day(40))
	own := []string{ // what each database has of its own to get round the triggers
		"REPLACE INTO record (id, place, kind, effective, entered, source, body) SELECT id, place, kind, effective, entered, 'me', body FROM record WHERE id = 1",
		"REPLACE INTO record (place, kind, effective, entered, source, body) SELECT place, kind, effective, entered, 'me', body FROM record WHERE kind = 'void'",
		"REPLACE INTO drawn SELECT record_id, day, minute, ordinal, 9, 0, 0, 0, 0, 0, NULL FROM drawn",
	}
	if db.OnServer() {
		own = []string{
			"INSERT INTO record (id, place, kind, effective, entered, source, body) SELECT id, place, kind, effective, entered, 'me', body FROM record WHERE id = 1 ON CONFLICT (id) DO UPDATE SET source = 'me'",
			"TRUNCATE record, drawn, drawn_day, checksum, wording", "TRUNCATE drawn", "TRUNCATE wording, drawn",
			"UPDATE record SET voids = NULL",
		}
	}
	for _, statement := range append(own, []string{
		"UPDATE record SET source = 'me'",
		"UPDATE record SET id = 77 WHERE id = 1",
		"DELETE FROM record WHERE id = 1",
		"DELETE FROM record",
		"INSERT INTO record (place, kind, effective, entered, source, body) SELECT place, kind, effective, entered, 'me', body FROM record WHERE kind = 'void'",
		"INSERT INTO record (place, kind, effective, entered, source, body) VALUES ('home', 'void', '2026-05-02', '2026-05-20T09:00:00Z', '', '{\"record\":99}')",
		"INSERT INTO record (place, kind, effective, entered, source, body) VALUES ('home', 'service', '2026-05-02', '2026-05-20T09:00:00Z', '', 'no JSON')",
		"INSERT INTO record (place, kind, effective, entered, source, body) VALUES ('home', 'service', 'yesterday', '2026-05-20T09:00:00Z', '', '{}')",
		"UPDATE drawn SET shots = 0",
		"DELETE FROM drawn",
		"INSERT INTO drawn VALUES (99, 1, 1, 0, 1, 0, 0, 0, 0, 0, NULL)",
		"INSERT INTO drawn VALUES (1, 1, 1, 0, 1, 0, 0, 0, 0, 0, 99)",
		"UPDATE wording SET beans = 'others'",
		"DELETE FROM wording",
	}...) {
		if _, err := db.write.ExecContext(ctx, statement); err == nil {
			t.Errorf("taken: %s", statement)
		}
	}
	if diff := cmp.Diff(before, mustHistory(t, db, day(40))); diff != "" {
		t.Errorf("history, -before +after:\n%s", diff)
	}
	if err := db.Check(ctx); err != nil {
		t.Error(err)
	}
}

func TestBodyThatCannotBeRead(t *testing.T) { onEach(t, testBodyThatCannotBeRead) }

func testBodyThatCannotBeRead(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	mustAppend(t, db, entry(day(1), record.Service{Task: "fine"}))
	for _, test := range []struct{ kind, body string }{
		{"service", `{"task": 7}`},
		{"telepathy", `{}`},
	} {
		var id int64
		err := db.write.QueryRowContext(ctx, `INSERT INTO record (place, kind, effective, entered, source, body)
			VALUES (?, ?, '2026-05-02', '2026-05-20T09:00:00Z', '', ?) RETURNING id`, test.kind, test.kind, test.body).Scan(&id)
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprint(id)
		for call, err := range map[string]error{
			"Read":    second(db.Read(ctx, test.kind, day(9))),
			"History": second(historyOf(ctx, db, test.kind)),
			"Find":    second(db.Find(ctx, id)),
			"Check":   db.Check(ctx),
		} {
			if err == nil || !strings.Contains(err.Error(), "record "+name) {
				t.Errorf("%s of a bad %s record: %v", call, test.kind, err)
			}
		}
	}
}

func second[T any](_ T, err error) error { return err }

// A publication is kept while the one it follows on is the last by its day,
// whatever else was written down meanwhile.
func TestAppendAfter(t *testing.T) { onEach(t, testAppendAfter) }

func testAppendAfter(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	plan := func(n int) record.Entry {
		return entry(day(n), record.Publication{At: time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)})
	}
	first, err := db.AppendAfter(ctx, 0, plan(2))
	if err != nil {
		t.Fatal(err)
	}
	mustAppend(t, db, entry(day(1), record.Service{Task: "machine/task"}))
	second, err := db.AppendAfter(ctx, first, plan(3))
	if err != nil {
		t.Fatalf("after a service: %v", err)
	}
	for _, last := range []int64{0, first, second + 1} {
		if _, err := db.AppendAfter(ctx, last, plan(3)); !errors.Is(err, schedule.ErrOtherPublication) {
			t.Errorf("kept after %d, though %d is the last: %v", last, second, err)
		}
	}
	if _, err := db.AppendAfter(ctx, first, plan(2)); err != nil {
		t.Errorf("a book of day 2 has %d for the last: %v", first, err)
	}
	if _, err := db.AppendAfter(ctx, second, entry(day(3), record.Service{})); err == nil {
		t.Error("an invalid record was kept")
	}
	if n := len(mustHistory(t, db, day(30))); n != 4 {
		t.Errorf("%d records, want 4", n)
	}
}
