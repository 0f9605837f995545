package record_test

import (
	"cmp"
	"errors"
	"slices"
	"testing"
	"time"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

func entry(id int64, on record.Date, body record.Body) record.Entry {
	return record.Entry{ID: id, Place: "home", Effective: on, Body: body}
}

func service(task string) record.Service { return record.Service{Task: task} }

func idsOf(entries []record.Entry) []int64 {
	var ids []int64
	for _, e := range entries {
		ids = append(ids, e.ID)
	}
	return ids
}

func TestNewBookOrdersAndLeavesOut(t *testing.T) {
	given := []record.Entry{
		entry(9, 20, service("late")),
		entry(3, 10, service("b")),
		entry(2, 10, service("a")),
		entry(4, 5, service("first, though entered last")),
		entry(5, 21, service("after the day")),
		{ID: 6, Effective: 8, Voided: 7, Body: service("marked void")},
		entry(8, 9, service("void by a record among them")),
		entry(10, 9, record.Void{Record: 8}),
	}
	before := slices.Clone(given)
	book := record.NewBook(20, given, nil)
	if diff := gocmp.Diff([]int64{4, 10, 2, 3, 9}, idsOf(book.Entries)); diff != "" {
		t.Errorf("entries (-want +got):\n%s", diff)
	}
	if diff := gocmp.Diff(before, given); diff != "" {
		t.Errorf("the caller's entries were moved:\n%s", diff)
	}
	if book.Until != 20 {
		t.Errorf("the book is of %d", book.Until)
	}
}

// A void counts wherever the day of its own record falls, since it says that
// the other was wrong from the start.
func TestVoidCountsWheneverItWasWritten(t *testing.T) {
	book := record.NewBook(20, []record.Entry{entry(1, 10, service("a")), entry(2, 99, record.Void{Record: 1})}, nil)
	if len(book.Entries) != 0 {
		t.Errorf("kept %v", idsOf(book.Entries))
	}
}

func TestNewBookDays(t *testing.T) {
	days := []record.UseDay{
		{Machine: "b", Date: 3}, {Machine: "a", Date: 9}, {Machine: "b", Date: 1}, {Machine: "a", Date: 21}, {Machine: "a", Date: 2}, {Machine: "c", Date: 20},
	}
	book := record.NewBook(20, nil, days)
	for machine, want := range map[string][]record.Date{"a": {2, 9}, "b": {1, 3}, "c": {20}, "aa": nil, "": nil, "d": nil} {
		var got []record.Date
		for _, d := range book.DaysOf(machine) {
			if d.Machine != machine {
				t.Errorf("%s has a day of %s", machine, d.Machine)
			}
			got = append(got, d.Date)
		}
		if diff := gocmp.Diff(want, got); diff != "" {
			t.Errorf("days of %q (-want +got):\n%s", machine, diff)
		}
	}
}

// The order in which the store hands over what it has decides nothing.
func TestBookDoesNotDependOnOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 12).Draw(t, "entries")
		var entries []record.Entry
		for i := range n {
			e := entry(int64(i+1), record.Date(rapid.IntRange(1, 6).Draw(t, "on")), service("t"))
			if i > 0 && rapid.Bool().Draw(t, "void") {
				e.Body = record.Void{Record: int64(rapid.IntRange(1, i).Draw(t, "of"))}
			}
			entries = append(entries, e)
		}
		until := record.Date(rapid.IntRange(0, 7).Draw(t, "until"))
		one := record.NewBook(until, entries, nil)
		other := record.NewBook(until, rapid.Permutation(entries).Draw(t, "shuffled"), nil)
		if diff := gocmp.Diff(one.Entries, other.Entries); diff != "" {
			t.Fatalf("another order gave another book:\n%s", diff)
		}
		if !slices.IsSortedFunc(one.Entries, func(a, b record.Entry) int {
			return cmp.Or(cmp.Compare(a.Effective, b.Effective), cmp.Compare(a.ID, b.ID))
		}) {
			t.Fatalf("out of order: %v", one.Entries)
		}
		for _, e := range one.Entries {
			if e.Effective > until {
				t.Fatalf("record %d is of day %d, after %d", e.ID, e.Effective, until)
			}
		}
		// A later day never sees less.
		if later := record.NewBook(until+1, entries, nil); len(later.Entries) < len(one.Entries) {
			t.Fatalf("a day later %d entries, %d before", len(later.Entries), len(one.Entries))
		}
	})
}

func TestBookPlace(t *testing.T) {
	renamed := goodPlace()
	renamed.Name = "Bar"
	entries := []record.Entry{entry(1, 5, goodPlace()), entry(2, 10, renamed)}
	for until, want := range map[record.Date]string{4: "", 5: "Küche", 9: "Küche", 10: "Bar"} {
		place, ok := record.NewBook(until, entries, nil).Place()
		if ok != (want != "") || place.Name != want {
			t.Errorf("on day %d: %q, %t, want %q", until, place.Name, ok, want)
		}
	}
}

func TestBookEquipment(t *testing.T) {
	machine := goodEquipment()
	renamed := machine
	renamed.Name = "Old machine"
	line := goodLine()
	tap := record.Equipment{ID: "tap", Bought: 5, Line: &line}
	entries := []record.Entry{
		entry(1, 5, tap), entry(2, 5, machine), entry(3, 10, renamed),
		entry(4, 15, record.Retired{Equipment: "machine"}), entry(5, 20, machine),
	}
	tests := []struct {
		until record.Date
		want  map[string]string // id to name
	}{
		{4, map[string]string{}},
		{5, map[string]string{"tap": "tap", "machine": "Machine"}},
		{10, map[string]string{"tap": "tap", "machine": "Old machine"}},
		{15, map[string]string{"tap": "tap"}},
		{20, map[string]string{"tap": "tap", "machine": "Machine"}}, // it came back
	}
	for _, test := range tests {
		book := record.NewBook(test.until, entries, nil)
		got := map[string]string{}
		var ids []string
		for _, e := range book.Equipment() {
			got[e.ID] = e.Title()
			ids = append(ids, e.ID)
		}
		if diff := gocmp.Diff(test.want, got); diff != "" {
			t.Errorf("on day %d (-want +got):\n%s", test.until, diff)
		}
		if !slices.IsSorted(ids) {
			t.Errorf("on day %d not by id: %v", test.until, ids)
		}
	}
	book := record.NewBook(15, entries, nil)
	_, err := book.Find("machine")
	var unknown *record.UnknownError
	if !errors.As(err, &unknown) || !slices.Equal(unknown.Known, []string{"tap"}) {
		t.Errorf("a retired machine: %v", err)
	}
	if e, err := book.Find("tap"); err != nil || e.ID != "tap" {
		t.Errorf("the tap: %v, %v", e.ID, err)
	}
	if versions := book.Versions("machine"); len(versions) != 2 || versions[0].On != 5 || versions[1].ID != 3 {
		t.Errorf("versions of the machine: %v", versions)
	}
}

func TestBookPicksByName(t *testing.T) {
	other := goodWaterTest()
	other.Line = "well"
	elsewhere := goodBatch()
	elsewhere.Machine = "lever"
	book := record.NewBook(99, []record.Entry{
		entry(1, 9, service("m/descale/a")), entry(2, 3, service("m/descale/a")), entry(3, 4, service("m/descale/ab")),
		entry(4, 1, goodWaterTest()), entry(5, 2, other), entry(6, 1, goodBatch()), entry(7, 1, elsewhere),
	}, nil)
	if s := book.Services("m/descale/a"); len(s) != 2 || s[0].ID != 2 || s[1].ID != 1 || s[0].On != 3 {
		t.Errorf("services, oldest first: %v", s)
	}
	if s := book.Services("m/descale"); len(s) != 0 {
		t.Errorf("part of a name finds %v", s)
	}
	if w := book.WaterTests("well"); len(w) != 1 || w[0].ID != 5 {
		t.Errorf("tests of the well: %v", w)
	}
	if u := book.UseBatches("lever"); len(u) != 1 || u[0].ID != 7 {
		t.Errorf("use of the lever: %v", u)
	}
}

func TestLastPublication(t *testing.T) {
	at := func(hour int) record.Publication {
		return record.Publication{At: time.Date(2026, 3, 2, hour, 0, 0, 0, time.UTC)}
	}
	named := func(hour int, uid string) record.Publication {
		p := at(hour)
		p.Entries = []record.PublishedSitting{{UID: uid}}
		return p
	}
	if _, ok := record.NewBook(9, nil, nil).LastPublication(); ok {
		t.Error("a plan was published in an empty book")
	}
	// The instant decides, not the day it holds from; of the same instant the later record.
	book := record.NewBook(9, []record.Entry{
		entry(1, 2, named(8, "a")), entry(2, 1, named(10, "b")), entry(3, 1, named(10, "c")), entry(4, 9, named(9, "d")),
	}, nil)
	last, ok := book.LastPublication()
	if !ok || last.Entries[0].UID != "c" {
		t.Errorf("the last plan is %v, %t", last.Entries, ok)
	}
}

func TestBookOfWhatIsWrittenBeside(t *testing.T) {
	other := goodBag()
	other.Grinder = "hand"
	later := goodOwnCare()
	later.Changes = nil
	book := record.NewBook(99, []record.Entry{
		entry(1, 5, goodAway()), entry(2, 6, goodGuests()), entry(3, 7, goodMeterReading()), entry(4, 9, goodBag()), entry(5, 8, goodBag()), entry(6, 8, other),
		entry(7, 5, goodMeasurement()), entry(8, 1, goodOwnCare()), entry(9, 2, later),
	}, nil)
	if a := book.Aways("machine"); len(a) != 1 || a[0].ID != 1 {
		t.Errorf("away: %v", a)
	}
	if a := book.Aways("lever"); len(a) != 0 {
		t.Errorf("away from another: %v", a)
	}
	if g := book.Guests("lever"); len(g) != 1 || g[0].ID != 2 { // of the whole place
		t.Errorf("guests: %v", g)
	}
	if r := book.MeterReadings("tap"); len(r) != 1 || len(book.MeterReadings("well")) != 0 {
		t.Errorf("readings: %v", r)
	}
	if b := book.Bags("grinder"); len(b) != 2 || b[0].ID != 5 || b[1].ID != 4 {
		t.Errorf("bags, oldest first: %v", b)
	}
	if m := book.Checks("grinder"); len(m) != 1 || m[0].ID != 7 || len(book.Checks("machine")) != 0 {
		t.Errorf("measurements: %v", m)
	}
	if o := book.OwnCare(); o.ID != 9 || o.On != 2 || len(o.Body.Changes) != 0 {
		t.Errorf("the owner's own: %+v", o)
	}
	if o := record.NewBook(1, nil, nil).OwnCare(); o.ID != 0 {
		t.Errorf("nothing of the owner's own: %+v", o)
	}
}
