package store

import (
	"context"
	"maps"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// The version of a place is the number of its last record, and nothing that is written
// of another place moves it.
func TestVersionOfPlace(t *testing.T) { onEach(t, testVersionOfPlace) }

func testVersionOfPlace(t *testing.T, open opener) {
	ctx := context.Background()
	db := open(t)
	of := func(place string) int64 {
		t.Helper()
		version, err := db.VersionOf(ctx, place)
		if err != nil {
			t.Fatal(err)
		}
		viewed, err := schedule.OfPlace(db, place).Version(ctx)
		if err != nil || viewed != version {
			t.Errorf("%s seen by itself has version %d, %v; want %d", place, viewed, err, version)
		}
		return version
	}
	if got := of("home"); got != 0 {
		t.Errorf("a place without records has version %d", got)
	}
	ids := mustAppend(t, db, entry(day(1), record.Service{Task: "backflush"}), entry(day(2), record.Service{Task: "backflush"}))
	other := entry(day(3), record.Service{Task: "backflush"})
	other.Place = "bar"
	mustAppend(t, db, other)
	if got := of("home"); got != ids[1] {
		t.Errorf("home has version %d; want %d, its last record", got, ids[1])
	}
	if got := of("bar"); got != ids[1]+1 {
		t.Errorf("the bar has version %d; want %d", got, ids[1]+1)
	}
	mustAppend(t, db, entry(day(3), record.Service{Task: "backflush"}))
	if got := of("home"); got != ids[1]+2 {
		t.Errorf("after another record home has version %d; want %d", got, ids[1]+2)
	}
	for since, want := range map[int64]map[string]int64{
		0:          {"home": ids[1] + 2, "bar": ids[1] + 1},
		ids[1] + 1: {"home": ids[1] + 2},
		ids[1] + 2: {},
	} {
		if got, err := db.VersionsSince(ctx, since); err != nil || !maps.Equal(got, want) {
			t.Errorf("since %d the places have versions %v, %v; want %v", since, got, err, want)
		}
	}
}
