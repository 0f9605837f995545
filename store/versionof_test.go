package store

import (
	"context"
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
}
