package store

import (
	"context"
	"fmt"
	"maps"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule"
)

// An app that asks only for what has a higher number than it saw last knows at
// any time what is there, whatever was shown between (RFC 6578, 3.2).
func TestSyncStateTellsWhatChanged(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		ctx := context.Background()
		db, err := Open(ctx, filepath.Join(t.TempDir(), fmt.Sprint(rapid.Uint64().Draw(r, "file"), ".db")), nil)
		if err != nil {
			r.Fatal(err)
		}
		defer db.Close()
		type version struct {
			tag     string
			touched int
		}
		app, seen := map[string]version{}, int64(0)
		epoch := ""
		for range rapid.IntRange(1, 12).Draw(r, "steps") {
			tags := rapid.MapOfN(rapid.SampledFrom([]string{"a", "b", "c", "d"}), rapid.SampledFrom([]string{"1", "2", "3"}), 0, 4).Draw(r, "tags")
			state, err := db.SetObjects(ctx, "home", tags)
			if err != nil {
				r.Fatal(err)
			}
			if name := rapid.SampledFrom([]string{"", "a", "b"}).Draw(r, "touched"); name != "" {
				if state, err = db.Touch(ctx, "home", name); err != nil {
					r.Fatal(err)
				}
			}
			if epoch != "" && state.Epoch != epoch {
				r.Fatalf("the epoch changed from %s to %s", epoch, state.Epoch)
			}
			epoch = state.Epoch
			if !rapid.Bool().Draw(r, "looks") {
				continue
			}
			for name, o := range state.Objects {
				if o.Number <= seen {
					continue
				}
				if o.Number > state.Number {
					r.Fatalf("%s has number %d, the whole %d", name, o.Number, state.Number)
				}
				if app[name] = (version{o.Tag, o.Touched}); o.Tag == "" {
					delete(app, name)
				}
			}
			seen = state.Number
			there := map[string]version{}
			for name, tag := range tags {
				there[name] = version{tag, state.Objects[name].Touched}
			}
			if diff := cmp.Diff(there, app, cmp.AllowUnexported(version{})); diff != "" {
				r.Fatalf("-there +seen by the app:\n%s", diff)
			}
		}
	})
}

// What stays as it is gets no new number, nor does it wait for the write lock.
func TestStoringTheSameChangesNothing(t *testing.T) { onEach(t, testStoringTheSameChangesNothing) }

func testStoringTheSameChangesNothing(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	tags := map[string]string{"a.ics": "1", "b.ics": "2"}
	first, err := db.SetObjects(ctx, "home", tags)
	if err != nil {
		t.Fatal(err)
	}
	if first.Number != 1 || first.Epoch == "" {
		t.Errorf("shown once the number is %d, the epoch %q", first.Number, first.Epoch)
	}
	again, err := db.SetObjects(ctx, "home", maps.Clone(tags))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(first, again); diff != "" {
		t.Errorf("shown again:\n%s", diff)
	}
	other, err := db.SetObjects(ctx, "bar", map[string]string{"a.ics": "9"})
	if err != nil {
		t.Fatal(err)
	}
	if other.Epoch == first.Epoch || len(other.Objects) != 1 {
		t.Errorf("another place shares the epoch or the objects: %+v", other)
	}
	if same, err := db.Touch(ctx, "home", "unknown"); err != nil || same.Number != 1 {
		t.Errorf("what is not there was touched: number %d, %v", same.Number, err)
	}
}

// Of too many that are gone the oldest are forgotten, and it is known up to
// which number.
func TestSyncStateForgetsTheOldest(t *testing.T) { onEach(t, testSyncStateForgetsTheOldest) }

func testSyncStateForgetsTheOldest(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	tags := map[string]string{}
	for i := range mostGone + 10 {
		tags[fmt.Sprint(i)] = "1"
	}
	if _, err := db.SetObjects(ctx, "home", tags); err != nil {
		t.Fatal(err)
	}
	for i := range 10 {
		delete(tags, fmt.Sprint(i))
	}
	if _, err := db.SetObjects(ctx, "home", tags); err != nil {
		t.Fatal(err)
	}
	s, err := db.SetObjects(ctx, "home", nil)
	if err != nil {
		t.Fatal(err)
	}
	if s.Oldest != 2 || len(s.Objects) != mostGone || s.Number != 3 {
		t.Errorf("oldest %d of %d, %d objects", s.Oldest, s.Number, len(s.Objects))
	}
}

func TestMarks(t *testing.T) { onEach(t, testMarks) }

func testMarks(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	at := time.Date(2026, time.May, 3, 8, 0, 0, 0, time.UTC)
	set := func(place, uid string, m schedule.Mark) {
		t.Helper()
		if err := db.SetMark(ctx, place, uid, m); err != nil {
			t.Fatal(err)
		}
	}
	set("home", "one", schedule.Mark{Kind: schedule.MarkHidden, At: at})
	set("home", "two", schedule.Mark{Kind: schedule.MarkHidden, At: at})
	set("home", "two", schedule.Mark{Kind: schedule.MarkTicked, At: at.Add(time.Hour)})
	set("home", "three", schedule.Mark{Kind: schedule.MarkTicked, At: at})
	set("home", "three", schedule.Mark{})
	set("bar", "one", schedule.Mark{Kind: schedule.MarkTicked, At: at})
	got, err := db.Marks(ctx, "home")
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]schedule.Mark{"one": {Kind: schedule.MarkHidden, At: at}, "two": {Kind: schedule.MarkTicked, At: at.Add(time.Hour)}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if err := db.SetMark(ctx, "home", "four", schedule.Mark{Kind: "torn up", At: at}); err == nil {
		t.Error("a mark of no kind was kept")
	}
}

// What is shown of all places together is kept beside what is of each, under a name that
// no place has: objects bear the name of their place before a dot, and the numbers of the
// one list say nothing of another's.
func TestStateOfAllPlaces(t *testing.T) { onEach(t, testStateOfAllPlaces) }

func testStateOfAllPlaces(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	const all = "~all"
	state := func(of string, tags map[string]string) schedule.SyncState {
		t.Helper()
		s, err := db.SetObjects(ctx, of, tags)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	home := state("home", map[string]string{"backflush.ics": "1"})
	first := state(all, map[string]string{"home.backflush.ics": "a", "bar.backflush.ics": "b", "bar.descale.ics": "c"})
	if len(first.Objects) != 3 || first.Epoch == home.Epoch {
		t.Fatalf("all places together: %+v, beside home's %+v", first, home)
	}
	second := state(all, map[string]string{"home.backflush.ics": "a", "bar.backflush.ics": "B"})
	if was, is := first.Objects["home.backflush.ics"], second.Objects["home.backflush.ics"]; was != is {
		t.Errorf("what stays as it was is another: %+v, then %+v", was, is)
	}
	if o := second.Objects["bar.backflush.ics"]; o.Tag != "B" || o.Number <= first.Number || o.Number > second.Number {
		t.Errorf("what changed is %+v, between %d and %d", o, first.Number, second.Number)
	}
	if o, ok := second.Objects["bar.descale.ics"]; !ok || o.Tag != "" || o.Number <= first.Number {
		t.Errorf("what is gone is %+v (%v), want no tag and a number beyond %d", o, ok, first.Number)
	}
	touched, err := db.Touch(ctx, all, "home.backflush.ics")
	if err != nil {
		t.Fatal(err)
	}
	if o := touched.Objects["home.backflush.ics"]; o.Touched == 0 || o.Number <= second.Number || touched.Epoch != first.Epoch {
		t.Errorf("what an app touched is %+v", o)
	}
	if again := state("home", map[string]string{"backflush.ics": "1"}); cmp.Diff(home, again) != "" {
		t.Errorf("home's own changed with it: %s", cmp.Diff(home, again))
	}
}
