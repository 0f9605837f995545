package wear

import (
	"testing"

	"pgregory.net/rapid"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// A gauge of days crosses on the same day by subtraction as by the look-up that
// serves every other gauge, and as by going day by day.
func TestDaysCrossAsTheyAreCounted(t *testing.T) {
	s := span{first: today - 100, today: today, last: today + 900}
	r := &run{span: s, grid: newGrid(s, []record.Date{today - 33, today + 5})}
	total := r.newCumulative()
	days, _ := care.ByDays.Count(care.Duty{})
	for _, limit := range []float64{0.5, 1, 6.2, 30, 89.99, 365.2425, 932.9, 933, 933.1, 1e12} {
		for _, amount := range []float64{0, 0.25, 12} {
			state := State{Amount: amount, Factor: 1, Limit: limit}
			knot := r.grid.at(today - 33)
			counted := never
			for day := r.grid.knots[knot]; day <= s.last; day++ {
				if amount+float64(day-r.grid.knots[knot]) >= limit {
					counted = day
					break
				}
			}
			for _, byDays := range []bool{true, false} {
				for _, single := range []bool{true, false} {
					g := &dutyGauge{Gauge: &partGauge{count: days}, byDays: byDays, single: single, only: care.OfDays, perAmount: 1}
					if got := r.crosses(g, state, total, knot); got != counted {
						t.Errorf("limit %v from %v, by subtraction %t, of one amount %t: %v, counted %v", limit, amount, byDays, single, got, counted)
					}
				}
			}
		}
	}
}

// The first knot at which a rising reading is 1 is that which looking at one after
// another finds, and few are looked at.
func TestFirstCrossed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rises := rapid.SliceOfN(rapid.Float64Range(0, 0.3), 0, 300).Draw(t, "rises")
		start := rapid.Float64Range(0, 1.5).Draw(t, "start")
		readings := make([]float64, len(rises))
		for i, r := range rises {
			start += r
			readings[i] = start
		}
		from := rapid.IntRange(0, len(rises)).Draw(t, "from")
		want := from
		for want < len(readings) && readings[want] < 1 {
			want++
		}
		looked := 0
		got := firstCrossed(from, len(readings), func(i int) float64 { looked++; return readings[i] })
		if got != want {
			t.Fatalf("%d, want %d", got, want)
		}
		if looked > 22 { // twice as many as halving needs, and two
			t.Fatalf("looked at %d of %d", looked, len(readings))
		}
	})
}

// Scale reaches its limit at the knot which looking at one after another finds, whether
// its grams or the lime that was fed bound it, in a vessel that fills as well.
func TestScaleCrossesAsItIsSummed(t *testing.T) {
	s := span{first: today - 100, today: today, last: today + 900}
	r := &run{span: s, grid: newGrid(s, nil)}
	rapid.Check(t, func(t *rapid.T) {
		total := r.newCumulative(care.OfLitres, care.OfHardness, care.OfScale)
		for i := range r.grid.steps() {
			total[care.OfScale][i+1] = total[care.OfScale][i] + rapid.Float64Range(0, 5).Draw(t, "grams")
			total[care.OfHardness][i+1] = total[care.OfHardness][i] + rapid.Float64Range(0, 100).Draw(t, "meq")
		}
		gauge := &scaleGauge{
			multipliers: []float64{rapid.Float64Range(0, 1).Draw(t, "multiplier")}, perGram: []float64{rapid.Float64Range(1e-3, 1).Draw(t, "unit for a gram")},
			limits: []float64{rapid.Float64Range(1e-3, 100).Draw(t, "limit")},
		}
		if rapid.Bool().Draw(t, "fills") {
			gauge.most = []float64{rapid.Float64Range(1, 300).Draw(t, "most")}
		}
		g := &dutyGauge{Gauge: gauge, kind: care.Deposited, wanted: gauge.wanted}
		state := g.Start(0, Service{})
		state.Amount = rapid.Float64Range(0, 50).Draw(t, "amount")
		knot := rapid.IntRange(0, r.grid.steps()).Draw(t, "knot")
		first := knot
		for first <= r.grid.steps() && !(g.Reading(g.Advance(state, total.from(knot, first))) >= 1) {
			first++
		}
		got := r.crosses(g, state, total, knot)
		switch {
		case first > r.grid.steps():
			if got != never {
				t.Fatalf("%v, though it never crosses", got)
			}
		case first == knot && got != r.grid.knots[knot], first > knot && (got <= r.grid.knots[first-1] || got > r.grid.knots[first]):
			t.Fatalf("%v, summed up to the knot of %v", got, r.grid.knots[first])
		}
	})
}
