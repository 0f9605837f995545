package day_test

import (
	"context"
	"encoding/json"
	"math"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
	"limekeep/schedule/score"
)

// What was expected of a finding is what the last publication before it said, and
// stays so whatever is published after. A finding that nothing was published for, or
// of which a later publication knew, is not scored; one that is taken back no longer.
func TestFindingsAreHeldAgainstWhatWentOutBefore(t *testing.T) {
	desk, records := sample.LivedIn(t)
	ctx := context.Background()
	at := func(d record.Date) schedule.Moment { return schedule.Moment{Today: d} }
	found := func(on, today record.Date, s record.Service) int64 {
		t.Helper()
		receipt, err := desk.Journal.Done(ctx, desk.Day(t, at(today)), on, s)
		if err != nil {
			t.Fatal(err)
		}
		return receipt.Record
	}
	scored := func(today record.Date) []score.Case {
		t.Helper()
		return desk.Day(t, at(today)).Score().Cases
	}
	first := record.NewDate(2026, 3, 2)
	if got := desk.Day(t, at(first)).Score(); got.Since != nil || len(got.Cases) != 0 {
		t.Fatalf("before anything was published: %+v", got)
	}
	sample.Publish(t, desk, at(first))
	task := "bench/descale/brew"
	one := found(first+40, first+41, record.Service{Task: task, Finding: record.Crust})
	cases := scored(first + 41)
	if len(cases) != 1 || cases[0].Record != one || cases[0].Foreseen != first || cases[0].On != first+40 {
		t.Fatalf("after one finding: %+v", cases)
	}
	total := 0.0
	for _, c := range cases[0].Chances {
		total += c.Chance
	}
	if math.Abs(total-1) > 1e-6 || cases[0].Chance <= 0 || math.Abs(cases[0].Stretch.To-cases[0].Stretch.From-cases[0].Chance) > 1e-9 {
		t.Errorf("chances %v, of which %.3f for the stretch %v", cases[0].Chances, cases[0].Chance, cases[0].Stretch)
	}
	// Published again, the case is what it was, to four digits of what was expected.
	sample.Publish(t, desk, at(first+41))
	again := scored(first + 41)
	if len(again) != 1 || math.Abs(again[0].Chance-cases[0].Chance) > 1e-3 || again[0].Foreseen != first {
		t.Errorf("published again: %+v, before %+v", again, cases)
	}
	// What is written down only now, of a day before that publication, was not known
	// to it and is of the turn before: nothing was expected of it.
	found(first+30, first+42, record.Service{Task: task, Finding: record.Film})
	if got := scored(first + 42); len(got) > 1 {
		t.Errorf("a finding of a turn that was never foreseen counts: %+v", got)
	}
	// The next turn is held against what went out after the first finding.
	sample.Publish(t, desk, at(first+42))
	two := found(first+200, first+200, record.Service{Task: task, Grams: 2.5})
	got := scored(first + 200)
	if n := len(got); n < 1 || got[n-1].Record != two || got[n-1].Foreseen != first+42 || got[n-1].Expected == nil {
		t.Fatalf("the second finding: %+v", got)
	}
	if _, err := desk.Journal.Void(ctx, desk.Day(t, at(first+200)), two, "it was another machine"); err != nil {
		t.Fatal(err)
	}
	for _, c := range scored(first + 200) {
		if c.Record == two {
			t.Error("what was taken back still counts")
		}
	}
	// What a publication keeps for the score stays a small part of it.
	bodies := records.Of(record.KindPublication)
	last := bodies[len(bodies)-1].Body.(record.Publication)
	whole, err := json.Marshal(last)
	if err != nil {
		t.Fatal(err)
	}
	kept, err := json.Marshal([]any{last.Expected, last.Found})
	if err != nil {
		t.Fatal(err)
	}
	if len(last.Expected) == 0 || len(kept) > len(whole)/2 {
		t.Errorf("%d of %d bytes are for the score, of %d tasks", len(kept), len(whole), len(last.Expected))
	}
}
