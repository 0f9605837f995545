package store

import (
	"testing"
	"time"

	"limekeep/schedule"
)

// The owner's own calendar is kept, replaced with or without its text, and taken away;
// its version never stands for two.
func TestOwnCalendar(t *testing.T) {
	db := openTest(t)
	ctx := t.Context()
	look := func(want schedule.OwnCalendar, text string) {
		t.Helper()
		got, err := db.OwnCalendar(ctx, "kitchen")
		if err != nil || got != want {
			t.Errorf("got %+v, %v", got, err)
		}
		body, err := db.OwnCalendarText(ctx, "kitchen")
		if err != nil || string(body) != text || (body == nil) != (text == "") {
			t.Errorf("its text is %q, %v", body, err)
		}
	}
	keep := func(c schedule.OwnCalendar, text []byte) {
		t.Helper()
		if err := db.SetOwnCalendar(ctx, "kitchen", c, text); err != nil {
			t.Fatal(err)
		}
	}
	look(schedule.OwnCalendar{}, "")
	at := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	file := schedule.OwnCalendar{Name: "mine.ics", Taken: at}
	keep(file, []byte{0, 1, 255})
	file.Version = 1
	look(file, "\x00\x01\xff")
	fetched := schedule.OwnCalendar{Address: "https://cal.example/x.ics", Taken: at, Wrong: "it did not answer"}
	keep(fetched, nil)
	fetched.Version = 2
	look(fetched, "\x00\x01\xff")
	keep(schedule.OwnCalendar{}, nil)
	look(schedule.OwnCalendar{Version: 3}, "")
	keep(file, []byte("x"))
	file.Version = 4
	look(file, "x")
	if other, err := db.OwnCalendar(ctx, "bar"); err != nil || !other.None() {
		t.Errorf("another place has %+v, %v", other, err)
	}
}
