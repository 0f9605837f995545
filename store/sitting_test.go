package store

import (
	"context"
	"errors"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// One sitting goes on at a place at a time, and a change of another version is
// refused.
func TestSittingsAreKept(t *testing.T) { onEach(t, testSittingsAreKept) }

func testSittingsAreKept(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	begun := time.Date(2026, time.March, 7, 9, 0, 0, 0, time.UTC)
	s := schedule.BegunSitting{ID: "a", Begun: begun, Checklist: []byte(`{"n":1}`)}
	keep := func(place string, s schedule.BegunSitting, want error) {
		t.Helper()
		if err := db.KeepSitting(ctx, place, s); !errors.Is(err, want) {
			t.Fatalf("%s %s: %v, want %v", place, s.ID, err, want)
		}
	}
	keep("home", s, nil)
	keep("home", s, schedule.ErrOtherVersion)                                                       // there already
	keep("home", schedule.BegunSitting{ID: "b", Checklist: []byte(`{}`)}, schedule.ErrOtherVersion) // while a goes on
	keep("bar", s, nil)
	s.Version, s.Checklist = 1, []byte(`{"n":2}`)
	keep("home", s, nil)
	keep("home", s, schedule.ErrOtherVersion)
	s.Version, s.Over = 2, true
	keep("home", s, nil)
	for i := range mostSittings + 5 {
		id := string(rune('c'+i/26)) + string(rune('a'+i%26))
		keep("home", schedule.BegunSitting{ID: id, Begun: begun.Add(time.Duration(i+1) * time.Hour), Over: true, Checklist: []byte(`{}`)}, nil)
	}
	all, err := db.BegunSittings(ctx, "home", 1000)
	if err != nil || len(all) != mostSittings || !all[0].Begun.After(all[1].Begun) {
		t.Errorf("%d sittings, %v", len(all), err)
	}
	if _, err := db.BegunSitting(ctx, "home", "a"); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("the oldest is still there: %v", err)
	}
	kept, err := db.BegunSitting(ctx, "bar", "a")
	if err != nil || kept.Version != 1 || !kept.Begun.Equal(begun) || kept.Over || string(kept.Checklist) != `{"n":1}` {
		t.Errorf("%+v, %v", kept, err)
	}
}
