package record_test

import (
	"testing"

	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

func TestBatchCovers(t *testing.T) {
	b := goodBatch()
	for date, want := range map[record.Date]bool{b.From - 1: false, b.From: true, b.To: true, b.To + 1: false} {
		if b.Covers(date) != want {
			t.Errorf("%s to %s covers %s: %t", b.From, b.To, date, !want)
		}
	}
}

func TestBatchByHand(t *testing.T) {
	b := goodBatch()
	if b.ByHand() {
		t.Error("a file counts as written by hand")
	}
	b.File = ""
	if !b.ByHand() {
		t.Error("what has no file is not by hand")
	}
}

// halves returns the half hours that begin at so many hours.
func halves(hours ...float64) record.HalfHours {
	var h record.HalfHours
	for _, x := range hours {
		h |= 1 << int(2*x)
	}
	return h
}

// A pause of more than two hours ends a session; its hours run from the
// beginning of its first half hour to the end of its last.
func TestSessions(t *testing.T) {
	tests := []struct {
		name     string
		halves   record.HalfHours
		sessions int
		hours    float64
	}{
		{"none", 0, 0, 0},
		{"one", halves(7), 1, 0.5},
		{"two in a row", halves(7, 7.5), 1, 1},
		{"a pause of two hours", halves(7, 9.5), 1, 3}, // 7:00 to 10:00
		{"a pause of two and a half", halves(7, 10), 2, 1},
		{"morning and evening", halves(6, 7, 8, 18), 2, 2.5 + 0.5},
		{"the first and the last of a day", halves(0, 23.5), 2, 1},
		{"all day", 1<<48 - 1, 1, 24},
		{"what no day has", 1 << 48, 0, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			sessions, hours := test.halves.Sessions()
			if sessions != test.sessions || hours != test.hours {
				t.Errorf("%d sessions of %v hours, want %d of %v", sessions, hours, test.sessions, test.hours)
			}
		})
	}
}

func TestSessionsHoldTheirHalfHours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		begins := rapid.SliceOfDistinct(rapid.IntRange(0, 47), rapid.ID[int]).Draw(t, "half hours")
		var h record.HalfHours
		for _, i := range begins {
			h |= 1 << i
		}
		sessions, hours := h.Sessions()
		n := len(begins)
		if (sessions == 0) != (n == 0) || sessions > n || hours < float64(n)/2 || hours > 24 {
			t.Fatalf("%d half hours make %d sessions of %v hours", n, sessions, hours)
		}
		// Pauses inside of a session are two hours at most.
		if most := float64(n)/2 + record.SessionGapHours*float64(n-sessions); hours > most {
			t.Fatalf("%d half hours in %d sessions make %v hours, %v at most", n, sessions, hours, most)
		}
	})
}
