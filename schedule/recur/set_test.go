package recur

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// What is added and left out (RFC 5545, 3.8.5.1 and 3.8.5.2), and what lies in a
// window; worked out by hand.
func TestSet(t *testing.T) {
	at := func(day int) time.Time { return time.Date(2026, time.March, day, 8, 0, 0, 0, time.UTC) }
	daily, err := ParseRule("FREQ=DAILY;INTERVAL=2;COUNT=5") // 2, 4, 6, 8, 10 March
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name     string
		set      Set
		from, to int
		want     []int
	}{
		{"no rule", Set{Start: at(2)}, 1, 31, []int{2}},
		{"no rule, out of the window", Set{Start: at(2)}, 3, 31, nil},
		{"the end is not in the window", Set{Start: at(2)}, 1, 2, nil},
		{"a rule", Set{Start: at(2), Rule: &daily}, 1, 31, []int{2, 4, 6, 8, 10}},
		{"a part of a rule, counted from its first", Set{Start: at(2), Rule: &daily}, 5, 9, []int{6, 8}},
		{"added", Set{Start: at(2), Rule: &daily, Dates: []time.Time{at(9), at(3)}}, 1, 31, []int{2, 3, 4, 6, 8, 9, 10}},
		{"added to no rule", Set{Start: at(2), Dates: []time.Time{at(9)}}, 1, 31, []int{2, 9}},
		{"added twice", Set{Start: at(2), Rule: &daily, Dates: []time.Time{at(4), at(4)}}, 1, 31, []int{2, 4, 6, 8, 10}},
		{"left out still counts", Set{Start: at(2), Rule: &daily, Except: []time.Time{at(2), at(6)}}, 1, 31, []int{4, 8, 10}},
		{"left out, though added", Set{Start: at(2), Dates: []time.Time{at(9)}, Except: []time.Time{at(9)}}, 1, 31, []int{2}},
		{"left out in another zone", Set{Start: at(2), Rule: &daily, Except: []time.Time{at(4).In(time.FixedZone("", 3600))}}, 1, 31, []int{2, 6, 8, 10}},
	} {
		starts, err := c.set.In(t.Context(), Window{at(c.from), at(c.to)}, NewBudget(1000))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		var got []int
		for _, s := range starts {
			got = append(got, s.Day())
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
	}
}

// UNTIL as a date, a time on the clock and one in UTC (RFC 5545, 3.3.10), in
// Kolkata, five and a half hours ahead.
func TestUntil(t *testing.T) {
	zone, err := time.LoadLocation("Asia/Kolkata")
	if err != nil {
		t.Fatal(err)
	}
	for until, want := range map[string]int{
		"20260304": 3, "20260304T080000": 3, "20260304T075959": 2, "20260304T023000Z": 3, "20260304T022959Z": 2, "20260301": 0,
	} {
		rule, err := ParseRule("FREQ=DAILY;UNTIL=" + until)
		if err != nil {
			t.Fatal(err)
		}
		start := time.Date(2026, time.March, 2, 8, 0, 0, 0, zone)
		starts, err := Set{Start: start, Rule: &rule}.In(t.Context(), Window{start, start.AddDate(1, 0, 0)}, NewBudget(1000))
		if err != nil || len(starts) != want {
			t.Errorf("until %s there are %d (%v), want %d", until, len(starts), err, want)
		}
	}
}

// Where clocks change (RFC 5545, 3.3.5): what they skip is taken on the clock
// before, of what they show twice the first is meant. In Vienna clocks go forward
// at 2:00 on 29 March 2026 and back at 3:00 on 25 October; Samoa had no
// 30 December 2011; at Lord Howe Island the step is half an hour.
func TestClockChanges(t *testing.T) {
	for _, c := range []struct{ zone, start, rule, from, to, want string }{
		{"Europe/Vienna", "20260301T080000", "FREQ=DAILY", "2026-03-28T12:00:00Z", "2026-03-30T12:00:00Z", "2026-03-29T06:00:00Z 2026-03-30T06:00:00Z"},
		{"Europe/Vienna", "20260301T023000", "FREQ=DAILY", "2026-03-28T12:00:00Z", "2026-03-30T12:00:00Z", "2026-03-29T01:30:00Z 2026-03-30T00:30:00Z"},
		{"Europe/Vienna", "20260301T023000", "FREQ=DAILY", "2026-10-24T12:00:00Z", "2026-10-26T12:00:00Z", "2026-10-25T00:30:00Z 2026-10-26T01:30:00Z"},
		// 1:30, 2:00, 2:30 (both at 3:00 and 3:30 by the new clock), 3:00, 3:30, 4:00
		{"Europe/Vienna", "20260301T000000", "FREQ=MINUTELY;INTERVAL=30", "2026-03-29T00:30:00Z", "2026-03-29T02:30:00Z", "2026-03-29T00:30:00Z 2026-03-29T01:00:00Z 2026-03-29T01:30:00Z 2026-03-29T02:00:00Z"},
		{"Pacific/Apia", "20111227T100000", "FREQ=DAILY", "2011-12-28T00:00:00Z", "2012-01-01T00:00:00Z", "2011-12-28T20:00:00Z 2011-12-29T20:00:00Z 2011-12-30T20:00:00Z 2011-12-31T20:00:00Z"},
		{"Australia/Lord_Howe", "20261001T021500", "FREQ=DAILY", "2026-10-02T20:00:00Z", "2026-10-05T00:00:00Z", "2026-10-03T15:45:00Z 2026-10-04T15:15:00Z"},
	} {
		zone, err := time.LoadLocation(c.zone)
		if err != nil {
			t.Fatal(err)
		}
		rule, err := ParseRule(c.rule)
		if err != nil {
			t.Fatal(err)
		}
		from, err := time.Parse(time.RFC3339, c.from)
		if err != nil {
			t.Fatal(err)
		}
		to, err := time.Parse(time.RFC3339, c.to)
		if err != nil {
			t.Fatal(err)
		}
		starts, err := Set{Start: inZone(t, c.start, zone), Rule: &rule}.In(t.Context(), Window{from, to}, NewBudget(10000))
		got := ""
		for _, at := range starts {
			got += " " + at.UTC().Format(time.RFC3339)
		}
		if err != nil || got != " "+c.want {
			t.Errorf("%s from %s in %s:%s, want %s (%v)", c.rule, c.start, c.zone, got, c.want, err)
		}
	}
}

// Around every change of clocks of hard zones, a time is one that the clock shows,
// and the first, as trying every offset tells; or, where it shows none, one that is
// as long after the change as the clock before it would have it.
func TestOnClock(t *testing.T) {
	for _, name := range []string{"Europe/Vienna", "Europe/Dublin", "Africa/Casablanca", "America/St_Johns", "America/Havana", "America/Nuuk", "Australia/Lord_Howe", "Pacific/Apia", "Antarctica/Troll"} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		for at := time.Date(2009, time.January, 1, 0, 0, 0, 0, zone); at.Year() < 2030; {
			before := offsetAt(at, zone)
			_, change := at.ZoneBounds()
			if change.IsZero() {
				break
			}
			at = change
			for minutes := -26 * 60; minutes <= 26*60; minutes += 15 {
				wall := change.UTC().Add(time.Duration(before)*time.Second + time.Duration(minutes)*time.Minute)
				got := onClock(wall, zone)
				want := wall.Add(-time.Duration(before) * time.Second)
				for offset := 15 * 3600; offset >= -15*3600; offset -= 900 {
					if try := wall.Add(-time.Duration(offset) * time.Second); offsetAt(try, zone) == offset {
						want = try
						break
					}
				}
				if !got.Equal(want) {
					t.Fatalf("%s: %s on the clock is %s, want %s", name, wall.Format(time.DateTime), got.UTC(), want.UTC())
				}
			}
		}
	}
}

func TestEnds(t *testing.T) {
	rule, err := ParseRule("FREQ=SECONDLY;COUNT=2147483647")
	if err != nil {
		t.Fatal(err)
	}
	start := time.Date(1970, time.January, 1, 0, 0, 0, 0, time.UTC)
	set, w := Set{Start: start, Rule: &rule}, Window{start.AddDate(56, 0, 0), start.AddDate(57, 0, 0)}
	budget := NewBudget(1 << 20)
	if _, err := set.In(t.Context(), w, budget); !errors.Is(err, ErrTooLong) || budget.Left() != 0 {
		t.Errorf("error %v, want ErrTooLong; %d steps are left", err, budget.Left())
	}
	ended, end := context.WithCancel(t.Context())
	end()
	if _, err := set.In(ended, w, NewBudget(1<<20)); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want that of the context", err)
	}
	// While it is under way the context ends it within so many steps.
	budget = NewBudget(1 << 40)
	if _, err := set.In(&endsLater{Context: t.Context()}, w, budget); !errors.Is(err, context.Canceled) || 1<<40-budget.Left() > 5*stepsBetweenLooks {
		t.Errorf("error %v after %d steps, want that of the context", err, 1<<40-budget.Left())
	}
}

// endsLater is a context that ends when it is looked at for the third time.
type endsLater struct {
	context.Context
	looked int
}

func (c *endsLater) Err() error {
	if c.looked++; c.looked > 2 {
		return context.Canceled
	}
	return nil
}

func TestParseRuleErrors(t *testing.T) {
	for _, text := range []string{
		"", "FREQ", "FREQ=SOMETIMES", "INTERVAL=2", "FREQ=DAILY;FREQ=DAILY", "FREQ=DAILY;INTERVAL=0", "FREQ=DAILY;INTERVAL=-1", "FREQ=DAILY;INTERVAL=99999999999999999999", "FREQ=DAILY;COUNT=0",
		"FREQ=DAILY;UNTIL=tomorrow", "FREQ=DAILY;UNTIL=20260230", "FREQ=DAILY;BYHOUR=24", "FREQ=DAILY;BYHOUR=", "FREQ=DAILY;BYMINUTE=60", "FREQ=DAILY;BYSECOND=61", "FREQ=MONTHLY;BYMONTHDAY=0",
		"FREQ=MONTHLY;BYMONTHDAY=32", "FREQ=YEARLY;BYYEARDAY=367", "FREQ=YEARLY;BYWEEKNO=54", "FREQ=YEARLY;BYMONTH=13", "FREQ=MONTHLY;BYDAY=0MO", "FREQ=MONTHLY;BYDAY=54MO", "FREQ=MONTHLY;BYDAY=M",
		"FREQ=MONTHLY;BYDAY=XX", "FREQ=MONTHLY;BYSETPOS=0", "FREQ=WEEKLY;WKST=1MO", "FREQ=YEARLY;BYEASTER=0", "FREQ=YEARLY;X-MINE=1", "every now and then",
	} {
		if rule, err := ParseRule(text); !errors.Is(err, ErrRule) {
			t.Errorf("%q is read as %+v (%v), want an error", text, rule, err)
		}
	}
}
