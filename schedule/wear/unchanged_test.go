package wear

import (
	"context"
	"reflect"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/boiler"
)

// diffOutcomes tells outcomes apart down to the last bit; what the catalogue says of
// them is the same.
func diffOutcomes(a, b []Outcome) string {
	if reflect.DeepEqual(a, b) {
		return "" // which is told much sooner than what differs
	}
	return cmp.Diff(a, b, cmp.Exporter(func(reflect.Type) bool { return true }), cmp.Comparer(func(a, b care.Duty) bool { return a.ID == b.ID }),
		cmp.Comparer(func(a, b care.BoundGauge) bool { return a.Name == b.Name }))
}

// Whatever is written down in whatever order, a forecast that remembers the one before
// it says what one says that remembers nothing, to the bit.
func TestRememberedForecastsAreAsWorkedOut(t *testing.T) {
	waters, columns := map[string]TestedWater{}, map[string][]boiler.Forming{} // worked out once
	rapid.Check(t, func(rt *rapid.T) {
		k := newKitchen(t)
		k.worlds = 16
		if rapid.Bool().Draw(rt, "cartridge") {
			fitCartridge(k, 0.2)
		}
		if rapid.IntRange(0, 3).Draw(rt, "used") == 0 {
			k.equipment[1].Used, k.equipment[0].Used = true, true
		}
		memory := Memory{waters: waters, columns: columns}
		for range rapid.IntRange(1, 3).Draw(rt, "writes") {
			switch rapid.IntRange(0, 6).Draw(rt, "what") {
			case 0:
				k.logged(rapid.IntRange(1, 60).Draw(rt, "days"), rapid.Float64Range(1, 9).Draw(rt, "shots"))
			case 1:
				k.entries = append(k.entries, record.Entry{ID: int64(len(k.entries) + 1), Effective: today - record.Date(rapid.SampledFrom([]int{0, 30}).Draw(rt, "tested")), Body: hardWater(14, 9)})
			case 2:
				duties := k.catalogue.Duties(k.equipment)
				k.planned[rapid.SampledFrom(duties).Draw(rt, "task").ID] = today + record.Date(rapid.IntRange(1, 200).Draw(rt, "planned"))
			case 3:
				k.equipment[1].Machine.Habit.WeekdayShots = rapid.Float64Range(0, 12).Draw(rt, "habit")
			default:
				s := record.Service{}
				d := rapid.SampledFrom(k.catalogue.Duties(k.equipment)).Draw(rt, "task")
				s.Task = d.ID
				switch d.Task.Findings {
				case care.FindsPart:
					s.Finding = record.Finding(rapid.SampledFrom(append(slices.Clone(record.PartFindings()), "")).Draw(rt, "finding"))
				case care.FindsScale:
					s.Finding = record.Finding(rapid.SampledFrom(append(slices.Clone(record.ScaleFindings()), "")).Draw(rt, "finding"))
				}
				k.served(rapid.SampledFrom([]int{0, 0, 0, 1, 40, 400}).Draw(rt, "days ago"), s)
			}
			h := k.household()
			h.Again = []record.Date{today, today + 90}
			h.Memory = &memory
			got, err := Forecast(context.Background(), h)
			if err != nil {
				rt.Fatal(err)
			}
			h.Memory = &Memory{waters: waters, columns: columns}
			want, err := Forecast(context.Background(), h)
			if err != nil {
				rt.Fatal(err)
			}
			if diff := diffOutcomes(want, got); diff != "" {
				rt.Fatalf("worked out (-) and remembered (+) differ:\n%s", diff)
			}
		}
	})
}

// A service at the grinder asks for its own duties alone: no water is played for it.
func TestServiceLeavesOthersAlone(t *testing.T) {
	k := newKitchen(t)
	memory := &Memory{}
	forecast := func() {
		h := k.household()
		h.Memory = memory
		if _, err := Forecast(context.Background(), h); err != nil {
			t.Fatal(err)
		}
	}
	changed := func() []string {
		before := memory.last().outcomes
		forecast()
		var ids []string
		for key, o := range memory.last().outcomes {
			if _, ok := before[key]; !ok {
				ids = append(ids, o.Duty.ID)
			}
		}
		slices.Sort(ids)
		return ids
	}
	if all := changed(); len(all) < 15 {
		t.Fatalf("%d duties at first", len(all))
	}
	if again := changed(); len(again) != 0 {
		t.Errorf("nothing was written, and worked out anew: %v", again)
	}
	k.served(0, record.Service{Task: "grinder/burr-cleaning"})
	if got := changed(); !slices.Equal(got, []string{"grinder/burr-cleaning"}) {
		t.Errorf("after a service at the grinder: %v", got)
	}
	k.logged(1, 9)
	if got := changed(); len(got) < 15 {
		t.Errorf("after a day's log only %v", got)
	}
}

// BenchmarkForecastAfterService forecasts the household of BenchmarkForecast again after
// one service at its grinder, in a program that runs on.
func BenchmarkForecastAfterService(b *testing.B) {
	k := loggedKitchen(b)
	h := k.household()
	if _, err := Forecast(context.Background(), h); err != nil {
		b.Fatal(err)
	}
	before := shared.last()
	k.served(0, record.Service{Task: "grinder/burr-cleaning"})
	h = k.household()
	b.ReportAllocs()
	for b.Loop() {
		shared.keep(before)
		if _, err := Forecast(context.Background(), h); err != nil {
			b.Fatal(err)
		}
	}
}
