package recur

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limekeep/schedule/sample/bound"
)

// Rules that a program without bounds would follow for ever, or for very long. In a
// plan of eighteen months each is done with in few steps, and has nothing in it.
func TestBounded(t *testing.T) {
	from := time.Date(2026, time.March, 1, 8, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		rule  string
		steps int
	}{
		{"FREQ=HOURLY;INTERVAL=24;BYHOUR=9", 2000},
		{"FREQ=HOURLY;INTERVAL=12;BYHOUR=9", 3000},
		{"FREQ=MINUTELY;INTERVAL=1440;BYMINUTE=30", 2000},
		{"FREQ=MINUTELY;BYHOUR=9;INTERVAL=1440", 2000},
		{"FREQ=SECONDLY;INTERVAL=86400;BYSECOND=1", 2000},
		{"FREQ=SECONDLY;BYMONTH=2;BYMONTHDAY=30", 2000},
		{"FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30", 3000},
		{"FREQ=WEEKLY;BYMONTH=2;BYMONTHDAY=30", 3000},
		{"FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=30", 3000},
		{"FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", 3000},
		{"FREQ=YEARLY;BYWEEKNO=1;BYMONTH=6", 3000},
		{"FREQ=YEARLY;BYYEARDAY=1;BYMONTH=6;COUNT=2147483647", 3000},
		{"FREQ=MONTHLY;BYMONTHDAY=1;BYDAY=53MO", 3000},
		{"FREQ=DAILY;BYSETPOS=2", 3000},
		{"FREQ=YEARLY;BYSETPOS=-366", 3000},
		{"FREQ=DAILY;BYHOUR=9;BYSETPOS=366", 3000},
		{"FREQ=YEARLY;INTERVAL=2147483647;BYHOUR=9;BYMONTH=1", 3000},
		{"FREQ=SECONDLY;INTERVAL=2147483647;BYHOUR=9", 2000},
		{"FREQ=DAILY;UNTIL=00010101T000000Z", 2000},
	} {
		rule, err := ParseRule(c.rule)
		if err != nil {
			t.Fatal(err)
		}
		budget := NewBudget(1 << 30)
		starts, err := Set{Start: from, Rule: &rule}.In(t.Context(), Window{from, from.AddDate(0, 18, 0)}, budget)
		if steps := 1<<30 - budget.Left(); err != nil || len(starts) > 0 || steps > c.steps {
			t.Errorf("%s: %d occurrences in %d steps (%v), want none in at most %d", c.rule, len(starts), steps, err, c.steps)
		}
	}
}

// However long ago a rule without COUNT began, what it has in a window is found
// in as few steps as the window needs, and is what a rule that counts has there.
func TestBeginsAtTheWindow(t *testing.T) {
	from := time.Date(2026, time.March, 1, 0, 0, 0, 0, time.UTC)
	w := Window{from, from.AddDate(0, 2, 0)}
	for _, text := range []string{"FREQ=YEARLY", "FREQ=MONTHLY;INTERVAL=5", "FREQ=WEEKLY;INTERVAL=3;BYDAY=MO,FR", "FREQ=DAILY;INTERVAL=7", "FREQ=HOURLY;INTERVAL=25", "FREQ=MINUTELY;INTERVAL=1501", "FREQ=SECONDLY;INTERVAL=100003;BYHOUR=8,9"} {
		rule, err := ParseRule(text)
		if err != nil {
			t.Fatal(err)
		}
		old := Set{Start: time.Date(1, time.March, 10, 8, 0, 0, 0, time.UTC), Rule: &rule}
		budget := NewBudget(2000)
		got, err := old.In(t.Context(), w, budget)
		if err != nil {
			t.Errorf("%s: %v", text, err)
		}
		counted := rule
		counted.Count = 1 << 30
		want, err := Set{Start: old.Start, Rule: &counted}.In(t.Context(), w, NewBudget(1<<30))
		if err != nil || fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s: %v, want %v (%v)", text, got, want, err)
		}
	}
}

// Whatever the rule, the expansion ends within its budget, and what it gives is in
// the window, in order, each time once, and the same where the window is cut in two.
func TestExpansionsHold(t *testing.T) {
	zones := []*time.Location{time.UTC}
	for _, name := range []string{"Europe/Vienna", "Australia/Lord_Howe", "Pacific/Apia", "America/St_Johns"} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		zones = append(zones, zone)
	}
	names := []string{"BYMONTH", "BYMONTHDAY", "BYYEARDAY", "BYWEEKNO", "BYDAY", "BYHOUR", "BYMINUTE", "BYSECOND", "BYSETPOS", "WKST", "COUNT", "UNTIL"}
	rapid.Check(t, func(t *rapid.T) {
		text := "FREQ=" + rapid.SampledFrom([]string{"YEARLY", "MONTHLY", "WEEKLY", "DAILY", "HOURLY", "MINUTELY", "SECONDLY"}).Draw(t, "freq") +
			fmt.Sprintf(";INTERVAL=%d", rapid.OneOf(rapid.IntRange(1, 30), rapid.IntRange(1, 1<<31-1)).Draw(t, "interval"))
		for _, name := range rapid.SliceOfNDistinct(rapid.SampledFrom(names), 0, 5, rapid.ID).Draw(t, "parts") {
			text += ";" + name + "=" + rapid.SampledFrom(parts[name]).Draw(t, name)
		}
		rule, err := ParseRule(text)
		if err != nil {
			t.Fatal(err)
		}
		zone := rapid.SampledFrom(zones).Draw(t, "zone")
		start := time.Date(rapid.IntRange(1, 2030).Draw(t, "year"), time.March, rapid.IntRange(1, 31).Draw(t, "day"), 2, 30, 0, 0, zone)
		from := time.Date(rapid.IntRange(2009, 2030).Draw(t, "from"), time.Month(rapid.IntRange(1, 12).Draw(t, "month")), 29, 0, 0, 0, 0, zone)
		between, to := from.AddDate(0, 0, rapid.IntRange(0, 400).Draw(t, "days")), from.AddDate(0, 0, 400)
		set := Set{Start: start, Rule: &rule, Dates: []time.Time{between}, Except: []time.Time{from}}
		whole := held(t, set, Window{from, to})
		if whole == nil {
			return // too long, which is an answer too
		}
		first, second := held(t, set, Window{from, between}), held(t, set, Window{between, to})
		if first != nil && second != nil && fmt.Sprint(append(first, second...)) != fmt.Sprint(whole) {
			t.Fatalf("%s from %s: %v and %v, in one %v", text, start, first, second, whole)
		}
	})
}

// held expands a set and checks what holds for each; nil where it takes too long.
func held(t interface{ Fatalf(string, ...any) }, s Set, w Window) []time.Time {
	const steps = 100_000
	budget := NewBudget(steps)
	starts, err := s.In(context.Background(), w, budget)
	if errors.Is(err, ErrTooLong) {
		return nil
	}
	if err != nil || budget.Left() < 0 || len(starts) > steps {
		t.Fatalf("%d occurrences, %d steps left, error %v", len(starts), budget.Left(), err)
	}
	for i, at := range starts {
		if at.Before(w.From) || !at.Before(w.To) || i > 0 && !at.After(starts[i-1]) {
			t.Fatalf("%s is out of the window or out of order", at)
		}
	}
	if starts == nil {
		starts = []time.Time{}
	}
	return starts
}

// Whatever is written as a rule, it is refused, or followed within its budget.
func FuzzRule(f *testing.F) {
	for _, text := range []string{
		"FREQ=HOURLY;INTERVAL=24;BYHOUR=9", "FREQ=SECONDLY;BYMONTH=2;BYMONTHDAY=30", "FREQ=YEARLY;BYWEEKNO=53,-53;BYDAY=SA,-1MO;WKST=SU", "freq=daily;until=99991231", "FREQ=DAILY;COUNT=2147483647;BYSECOND=60",
		"FREQ=MONTHLY;BYMONTHDAY=-31;BYSETPOS=-1,2;INTERVAL=7", "FREQ=MINUTELY;INTERVAL=2147483647;BYHOUR=0,1,2;BYMINUTE=59;BYSETPOS=366", ";;=;FREQ=WEEKLY;", strings.Repeat("A", 5000),
	} {
		f.Add(text, int64(1772352000), int64(0))
		f.Add(text, int64(-62135596800), int64(253402300799))
	}
	f.Fuzz(func(t *testing.T, text string, start, from int64) {
		defer bound.Memory(t)()
		rule, err := ParseRule(text)
		if err != nil {
			if !errors.Is(err, ErrRule) {
				t.Fatal(err)
			}
			return
		}
		const edge = 1 << 38 // seconds, some thousand years to either side
		set := Set{Start: time.Unix(start%edge, 0).UTC(), Rule: &rule}
		at := time.Unix(from%edge, 0).UTC()
		held(t, set, Window{at, at.AddDate(1, 0, 0)})
		held(t, set, Window{time.Time{}, at})
	})
}

// Each day of a month, of a rule that began ten years before; and one that never
// comes true.
func BenchmarkSet(b *testing.B) {
	from := time.Date(2026, time.March, 1, 0, 0, 0, 0, time.UTC)
	for _, text := range []string{"FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO,WE,FR", "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30", "FREQ=HOURLY;INTERVAL=24;BYHOUR=9"} {
		b.Run(text, func(b *testing.B) {
			rule, err := ParseRule(text)
			if err != nil {
				b.Fatal(err)
			}
			set := Set{Start: newYorkStart(b), Rule: &rule}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := set.In(b.Context(), Window{from, from.AddDate(0, 1, 0)}, NewBudget(1<<20)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func newYorkStart(b *testing.B) time.Time {
	return time.Date(2016, time.March, 1, 8, 0, 0, 0, newYork(b))
}
