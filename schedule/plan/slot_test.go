package plan_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

func place(zone string, times ...record.PreferredTime) record.Place {
	return record.Place{ID: "home", Zone: zone, Times: times}
}

func at(when string, minutes float64) record.PreferredTime {
	return record.PreferredTime{When: when, Minutes: minutes}
}

// starts writes slots as instants with their offset, which shows the side of a
// change of clocks they stand on.
func starts(slots []plan.Slot) []string {
	var text []string
	for _, s := range slots {
		text = append(text, s.Start.Format(time.RFC3339))
	}
	return text
}

// The changes of clocks are those of the IANA time zone database.
func TestSlots(t *testing.T) {
	day := record.NewDate
	tests := []struct {
		name        string
		place       record.Place
		first, last record.Date
		want        []string
	}{
		{"Saturday at ten where nobody said otherwise", place("Europe/Vienna"), day(2026, 3, 1), day(2026, 3, 14),
			[]string{"2026-03-07T10:00:00+01:00", "2026-03-14T10:00:00+01:00"}},
		{"the first and the last day count", place("Europe/Vienna", at("0 0 * * *", 60), at("59 23 * * *", 60)), day(2026, 3, 2), day(2026, 3, 3),
			[]string{"2026-03-02T00:00:00+01:00", "2026-03-02T23:59:00+01:00", "2026-03-03T00:00:00+01:00", "2026-03-03T23:59:00+01:00"}},
		{"no day at all", place("Europe/Vienna"), day(2026, 3, 14), day(2026, 3, 13), nil},
		{"a gap shifts forward, once", place("Europe/Vienna", at("30 2 * * *", 60)), day(2026, 3, 28), day(2026, 3, 30),
			[]string{"2026-03-28T02:30:00+01:00", "2026-03-29T03:30:00+02:00", "2026-03-30T02:30:00+02:00"}},
		{"what shifts onto another is one with it", place("Europe/Vienna", at("30 2 * * *", 60), at("30 3 * * *", 60)), day(2026, 3, 29), day(2026, 3, 29),
			[]string{"2026-03-29T03:30:00+02:00"}},
		{"just before and just behind the gap nothing shifts", place("Europe/Vienna", at("59 1 * * *", 60), at("0 3 * * *", 60)), day(2026, 3, 29), day(2026, 3, 29),
			[]string{"2026-03-29T01:59:00+01:00", "2026-03-29T03:00:00+02:00"}},
		{"a doubled hour is held the first time, once", place("Europe/Vienna", at("30 2 * * *", 60)), day(2026, 10, 24), day(2026, 10, 26),
			[]string{"2026-10-24T02:30:00+02:00", "2026-10-25T02:30:00+02:00", "2026-10-26T02:30:00+01:00"}},
		{"the end of the doubled hour is behind it", place("Europe/Vienna", at("0 3 * * *", 60)), day(2026, 10, 25), day(2026, 10, 25),
			[]string{"2026-10-25T03:00:00+01:00"}},
		{"a gap in the west", place("America/New_York", at("30 2 * * *", 60)), day(2026, 3, 7), day(2026, 3, 9),
			[]string{"2026-03-07T02:30:00-05:00", "2026-03-08T03:30:00-04:00", "2026-03-09T02:30:00-04:00"}},
		{"a doubled hour in the west", place("America/New_York", at("30 1 * * *", 60)), day(2026, 11, 1), day(2026, 11, 2),
			[]string{"2026-11-01T01:30:00-04:00", "2026-11-02T01:30:00-05:00"}},
		{"a gap at midnight stays on its day", place("America/Havana", at("0 0 * * *", 60)), day(2026, 3, 7), day(2026, 3, 9),
			[]string{"2026-03-07T00:00:00-05:00", "2026-03-08T01:00:00-04:00", "2026-03-09T00:00:00-04:00"}},
		{"half an hour forward", place("Australia/Lord_Howe", at("15 2 * * *", 60)), day(2026, 10, 3), day(2026, 10, 5),
			[]string{"2026-10-03T02:15:00+10:30", "2026-10-04T02:45:00+11:00", "2026-10-05T02:15:00+11:00"}},
		{"half an hour back", place("Australia/Lord_Howe", at("45 1 * * *", 60)), day(2026, 4, 4), day(2026, 4, 6),
			[]string{"2026-04-04T01:45:00+11:00", "2026-04-05T01:45:00+11:00", "2026-04-06T01:45:00+10:30"}},
		{"quarters of an hour from the meridian", place("Asia/Kathmandu", at("0 10 * * *", 60)), day(2026, 3, 2), day(2026, 3, 2),
			[]string{"2026-03-02T10:00:00+05:45"}},
		{"furthest east", place("Pacific/Kiritimati", at("0 1 * * *", 60)), day(2026, 3, 2), day(2026, 3, 2),
			[]string{"2026-03-02T01:00:00+14:00"}},
		{"a day that never was: on the next", place("Pacific/Apia", at("0 10 * * *", 60)), day(2011, 12, 29), day(2011, 12, 31),
			[]string{"2011-12-29T10:00:00-10:00", "2011-12-31T10:00:00+14:00"}},
		{"that day alone", place("Pacific/Apia", at("0 10 30 * *", 60)), day(2011, 12, 1), day(2011, 12, 31),
			[]string{"2011-12-31T10:00:00+14:00"}},
		{"leap days alone", place("Europe/Vienna", at("0 9 29 2 *", 60)), day(2026, 1, 1), day(2032, 12, 31),
			[]string{"2028-02-29T09:00:00+01:00", "2032-02-29T09:00:00+01:00"}},
		{"a day that never comes", place("Europe/Vienna", at("0 9 30 2 *", 60)), day(2026, 1, 1), day(2032, 12, 31), nil},
		{"months without a 31st are left out", place("Europe/Vienna", at("0 9 31 * *", 60)), day(2026, 3, 1), day(2026, 6, 30),
			[]string{"2026-03-31T09:00:00+02:00", "2026-05-31T09:00:00+02:00"}},
		{"two times in the order of the clock", place("UTC", at("0 18 * * WED", 45), at("0 9 * * MON,WED", 60)), day(2026, 3, 2), day(2026, 3, 8),
			[]string{"2026-03-02T09:00:00Z", "2026-03-04T09:00:00Z", "2026-03-04T18:00:00Z"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			slots, err := plan.Slots(test.place, test.first, test.last)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.want, starts(slots)); diff != "" {
				t.Errorf("slots (-want +got):\n%s", diff)
			}
		})
	}
}

// Of two preferred times that fall together the longer one is meant to have
// its place, whichever was written first.
func TestSlotsKeepTheLongerOfTwo(t *testing.T) {
	short, long := at("0 10 * * SAT", 60), at("0 10 7 * *", 180)
	for _, times := range [][]record.PreferredTime{{short, long}, {long, short}} {
		slots, err := plan.Slots(place("Europe/Vienna", times...), record.NewDate(2026, 3, 7), record.NewDate(2026, 3, 7))
		if err != nil {
			t.Fatal(err)
		}
		if len(slots) != 1 || slots[0].Minutes != 180 {
			t.Errorf("%v: %v", times, slots)
		}
	}
}

func TestSlotsOfThePlace(t *testing.T) {
	slots, err := plan.Slots(place("Asia/Tokyo", at("0 1 * * *", 90)), record.NewDate(2026, 3, 2), record.NewDate(2026, 3, 2))
	if err != nil || len(slots) != 1 {
		t.Fatal(slots, err)
	}
	// One in the morning there is still the day before in Greenwich.
	if got := slots[0].Date(); got != record.NewDate(2026, 3, 2) {
		t.Errorf("the slot at %s is of %s", slots[0].Start, got)
	}
	if slots[0].Minutes != 90 {
		t.Errorf("it has %v minutes", slots[0].Minutes)
	}
}

func TestSlotsRefuse(t *testing.T) {
	for name, p := range map[string]record.Place{
		"zone":                  place("Mars/Olympus"),
		"when":                  place("Europe/Vienna", at("sometimes", 60)),
		"when, of the second":   place("Europe/Vienna", at("0 10 * * *", 60), at("", 60)),
		"zone, before all else": place("", at("sometimes", 60)),
	} {
		_, err := plan.Slots(p, 1, 2)
		var field *record.FieldError
		if !errors.As(err, &field) || name[:4] != field.Field {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Whatever the place and its times: slots stand in order, none twice, each on
// its days and on the minute, and in a day no more than one for each time.
func TestSlotsAreInOrderAndUnique(t *testing.T) {
	zones := []string{"Europe/Vienna", "America/New_York", "Australia/Lord_Howe", "America/Havana", "Asia/Amman", "Asia/Kolkata", "Pacific/Chatham", "UTC"}
	rapid.Check(t, func(t *rapid.T) {
		p := place(rapid.SampledFrom(zones).Draw(t, "zone"))
		for range rapid.IntRange(1, 3).Draw(t, "times") {
			p.Times = append(p.Times, at(fmt.Sprintf("%d %d * * %s",
				rapid.IntRange(0, 59).Draw(t, "minute"), rapid.IntRange(0, 23).Draw(t, "hour"),
				rapid.SampledFrom([]string{"*", "SUN", "MON-FRI", "*/2"}).Draw(t, "weekday")), 60))
		}
		first := record.NewDate(2026, 1, 1) + record.Date(rapid.IntRange(0, 1000).Draw(t, "first"))
		last := first + record.Date(rapid.IntRange(0, 400).Draw(t, "days"))
		slots, err := plan.Slots(p, first, last)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.IsSortedFunc(slots, func(a, b plan.Slot) int { return a.Start.Compare(b.Start) }) {
			t.Fatalf("out of order: %v", starts(slots))
		}
		perDay := map[record.Date]int{}
		for i, s := range slots {
			if i > 0 && s.Start.Equal(slots[i-1].Start) {
				t.Fatalf("%s is there twice", s.Start)
			}
			if s.Date() < first || s.Date() > last {
				t.Fatalf("%s lies outside of %s to %s", s.Start, first, last)
			}
			perDay[s.Date()]++
		}
		for d, n := range perDay {
			if n > len(p.Times) {
				t.Fatalf("%d slots on %s for %d times", n, d, len(p.Times))
			}
		}
		// The same in pieces: a range of days is the sum of its days.
		middle := first + record.Date(rapid.IntRange(0, int(last-first)).Draw(t, "cut"))
		one, _ := plan.Slots(p, first, middle)
		two, _ := plan.Slots(p, middle+1, last)
		if diff := cmp.Diff(starts(slots), starts(append(one, two...))); diff != "" {
			t.Fatalf("in two pieces (-whole +pieces):\n%s", diff)
		}
	})
}

// A daily time comes once on every day of the year, whatever the clocks do.
func TestDailySlotNeverDropsOrDoubles(t *testing.T) {
	for _, zone := range []string{"Europe/Vienna", "America/Havana", "Australia/Lord_Howe", "Asia/Beirut", "America/St_Johns", "Africa/Casablanca"} {
		for _, when := range []string{"0 0 * * *", "30 1 * * *", "15 2 * * *", "30 2 * * *", "30 23 * * *"} {
			slots, err := plan.Slots(place(zone, at(when, 60)), record.NewDate(2026, 1, 1), record.NewDate(2026, 12, 31))
			if err != nil {
				t.Fatal(err)
			}
			if len(slots) != 365 {
				t.Errorf("%s, %s: %d slots in 2026", zone, when, len(slots))
			}
			for i, s := range slots {
				if want := record.NewDate(2026, 1, 1) + record.Date(i); s.Date() != want {
					t.Errorf("%s, %s: slot %d is of %s, want %s", zone, when, i, s.Date(), want)
					break
				}
			}
		}
	}
}
