package boiler

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"limekeep/water"
	"limekeep/water/deposit"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// tabled is the table of a row's water.
func tabled(t testing.TB, s *equilibrium.Solver, row watertest.Row, celsius float64, brucite bool) (SteadyTable, water.Totals) {
	t.Helper()
	cold, err := s.Speciate(row.Analysis(t))
	if err != nil {
		t.Fatal(err)
	}
	table, err := NewSteadyTable(s, cold.Totals, celsius, brucite)
	if err != nil {
		t.Fatal(err)
	}
	return table, cold.Totals
}

// The table against the steady states computed with USGS PHREEQC 3.8.9 for 36
// waters, none of them at a knot.
func TestTableHoldsSteadyStates(t *testing.T) {
	s, worst := equilibrium.NewSolver(), watertest.Deviations{}
	for i, row := range watertest.Read(t, "steam_boiler.csv") {
		if i%5 > 1 {
			continue // 5 and the 12 rows of each water have no common divisor
		}
		celsius, n, brucite := row.At(t, "temperature_c"), row.At(t, "steady_concentration_factor"), row.At(t, "brucite_forms") == 1
		table, feed := tabled(t, s, row, celsius, brucite)
		where := fmt.Sprintf("%s at %g °C, %g fold", row.Name, celsius, n)
		p := table.Steady(n, 0)
		calcium, magnesium := 1000*feed.Calcium, 1000*feed.Magnesium
		worst.Check(t, where, "calcite of the calcium", p.CalciteMmolPerKg/calcium, row.At(t, "steady_calcite_mmol_per_kg_feed")/calcium, 0.01)
		worst.Check(t, where, "anhydrite of the calcium", p.AnhydriteMmolPerKg/calcium, row.At(t, "steady_anhydrite_mmol_per_kg_feed")/calcium, 0.01)
		worst.Check(t, where, "brucite of the magnesium", p.BruciteMmolPerKg/magnesium, row.At(t, "steady_brucite_mmol_per_kg_feed")/magnesium, 0.03)
		worst.Check(t, where, "pH", p.PH, row.At(t, "steady_ph"), 0.05)
	}
	t.Logf("largest deviations: %v", worst)
}

// What the table says is dissolved and what it says formed must add up to what
// was fed, and chloride must go up just as the concentration does.
func TestTableConserves(t *testing.T) {
	s := equilibrium.NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		feed := watertest.Solve(t, s.Speciate, watertest.Draw(t)).Totals
		table, err := NewSteadyTable(s, feed, rapid.Float64Range(101, 140).Draw(t, "celsius"), rapid.Bool().Draw(t, "brucite"))
		if err != nil {
			t.Fatal(err)
		}
		n := rapid.Float64Range(0.5, table.Most()).Draw(t, "concentration")
		p := table.At(n, rapid.Float64Range(0, 1.5).Draw(t, "steam"), rapid.Float64Range(-0.4, 0.4).Draw(t, "offset"))
		w := p.Water
		for name, c := range map[string][2]float64{
			"calcium":  {feed.Calcium, w.Calcium/n + (p.CalciteMmolPerKg+p.AnhydriteMmolPerKg)/1000},
			"chloride": {feed.Chloride, w.Chloride / n},
			"sulfur":   {feed.Sulfate, w.Sulfate/n + p.AnhydriteMmolPerKg/1000},
		} {
			if math.Abs(c[0]-c[1]) > 1e-9+0.005*c[0] {
				t.Errorf("%s: fed %g mol/kg, found %g", name, c[0], c[1])
			}
		}
		if p.CalciteMmolPerKg < 0 || p.AnhydriteMmolPerKg < 0 || p.BruciteMmolPerKg < 0 {
			t.Errorf("something dissolves: %+v", p)
		}
	})
}

// Through 60 days of uneven use with a drain every two weeks, the table must
// lay down what the balance does: on ten waters, within 3 %, but of water so
// soft that most of its calcium stays dissolved within 4 % of that calcium.
func TestTableFollowsBalance(t *testing.T) {
	s := equilibrium.NewSolver()
	rows := watertest.Read(t, "waters.csv")
	const kg, celsius, offset = 1.5, 120.0, 0.1
	worst, biased := 0.0, 0.0
	for i := range 10 {
		row := rows[7*(3*i+4)] // 7 temperatures a water
		for _, brucite := range []bool{false, true} {
			table, feed := tabled(t, s, row, celsius, brucite)
			for _, liquid := range []float64{0.05, 0.3} {
				for _, turnover := range []float64{0.3, 2} {
					state, d := fill(t, s, feed, kg, celsius, offset, brucite)
					tracer, made, err := table.Advance(Tracer{}, Day{FeedKg: kg}, 1, offset)
					if err != nil {
						t.Fatal(err)
					}
					balance, fedKg := d.Solids, kg
					for day := range 60 {
						feedKg := kg * turnover * (1 + 0.8*math.Sin(float64(5*day*day))) // uneven, the same each time
						flow := LevelDay(feedKg*liquid, feedKg*(1-liquid), 0)
						if day%14 == 13 {
							flow = LevelDay(flow.HotWaterKg, flow.SteamKg, 0.6*kg)
						}
						fedKg += flow.FeedKg
						if state, d, err = Step(s, state, feed, flow, celsius, offset, brucite); err != nil {
							t.Fatal(err)
						}
						balance = balance.Plus(d.Solids)
						var solids deposit.Solids
						if tracer, solids, err = table.Advance(tracer, flow, 1, offset); err != nil {
							t.Fatal(err)
						}
						made = made.Plus(solids)
					}
					where := fmt.Sprintf("%s, liquid %g, turnover %g, brucite %v", row.Name, liquid, turnover, brucite)
					fed := feed.Calcium * fedKg * water.MolarMassCalcite
					within := 0.03 * balance.Grams()
					if balance.Grams() < 0.5*fed {
						within = 0.04 * fed
					}
					watertest.Near(t, where+": grams", made.Grams(), balance.Grams(), within)
					watertest.Near(t, where+": concentration", tracer.Concentration, state.Dissolved.Chloride/feed.Chloride, 1e-9)
					if balance.Grams() >= 0.5*fed {
						worst = max(worst, math.Abs(made.Grams()/balance.Grams()-1))
					}
					biased = max(biased, math.Abs(made.Grams()-balance.Grams())/fed)
				}
			}
		}
	}
	t.Logf("largest error %.3f of the deposit of scaling waters, %.4f of the calcium fed", worst, biased)
}

// A feed that drifted by a fifth, looked up, must do what a table of that feed
// does.
func TestTableScalesFeed(t *testing.T) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	const drift = 1.2
	table, err := NewSteadyTable(s, cold.Totals, 125, false)
	if err != nil {
		t.Fatal(err)
	}
	strong, err := NewSteadyTable(s, cold.Totals.Times(drift), 125, false)
	if err != nil {
		t.Fatal(err)
	}
	a, b := Tracer{}, Tracer{}
	var gramsA, gramsB float64
	for day := range 40 {
		flow := LevelDay(0.2, 1, 0)
		if day == 0 {
			flow = Day{FeedKg: 2}
		}
		var solids deposit.Solids
		if a, solids, err = table.Advance(a, flow, drift, 0); err != nil {
			t.Fatal(err)
		}
		gramsA += solids.Grams()
		if b, solids, err = strong.Advance(b, flow, 1, 0); err != nil {
			t.Fatal(err)
		}
		gramsB += solids.Grams()
	}
	watertest.Near(t, "concentration", a.Concentration, drift*b.Concentration, 1e-9)
	watertest.Near(t, "grams", gramsA, gramsB, 0.01*gramsB)
}

func TestTableEdges(t *testing.T) {
	s := equilibrium.NewSolver()
	for name, feed := range map[string]water.Totals{
		"pure":      {},
		"no carbon": {Calcium: 1e-3, Chloride: 2e-3},
		"acid":      {Chloride: 1e-3, Alkalinity: -1e-3},
		"salty":     {Sodium: 0.05, Chloride: 0.05, Calcium: 1e-3, Alkalinity: 2e-3, Carbon: 2e-3},
	} {
		table, err := NewSteadyTable(s, feed, 120, true)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if (name == "salty") != (table.Most() < 40) {
			t.Errorf("%s: reaches %g fold", name, table.Most())
		}
		for _, n := range []float64{0, 1, 20, 40, 1e6} {
			p := table.At(n, 0.9, 0)
			if !(p.PH > 1 && p.PH < 13) || p.CalciteMmolPerKg < 0 {
				t.Errorf("%s at %g: %+v", name, n, p)
			}
		}
	}
	salty := water.Totals{Sodium: 0.05, Chloride: 0.05, Calcium: 1e-3, Alkalinity: 2e-3, Carbon: 2e-3}
	table, err := NewSteadyTable(s, salty, 120, false)
	if err != nil {
		t.Fatal(err)
	}
	want, err := Steady(s, salty, 120, 0.9*table.Most(), 0, false)
	if err != nil {
		t.Fatal(err)
	}
	watertest.Near(t, "calcite of salty water", table.Steady(0.9*table.Most(), 0).CalciteMmolPerKg, want.CalciteMmolPerKg, 0.01)
	var value *water.ValueError
	if _, err := NewSteadyTable(s, water.Totals{Calcium: -1}, 120, false); !errors.As(err, &value) {
		t.Errorf("negative calcium: %v, want a ValueError", err)
	}
	if _, err := NewSteadyTable(s, water.Totals{Sodium: 0.9, Chloride: 0.9, Potassium: 0.9}, 120, false); !errors.As(err, &value) {
		t.Errorf("brine: %v, want a ValueError", err)
	}
	if _, err := NewSteadyTable(s, water.Totals{}, 99, false); !errors.As(err, &value) {
		t.Errorf("cold: %v, want a ValueError", err)
	}
	table = SteadyTable{}
	if _, _, err := table.Advance(Tracer{WaterKg: 1}, Day{DrainKg: 2}, 1, 0); !errors.As(err, &value) {
		t.Errorf("overdrained: %v, want a ValueError", err)
	}
	if _, _, err := table.Advance(Tracer{WaterKg: 1}, Day{}, math.NaN(), 0); !errors.As(err, &value) {
		t.Errorf("NaN feed: %v, want a ValueError", err)
	}
}

func BenchmarkNewSteadyTable(b *testing.B) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewSteadyTable(s, cold.Totals, 125, true); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTableAdvance(b *testing.B) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		b.Fatal(err)
	}
	table, err := NewSteadyTable(s, cold.Totals, 125, true)
	if err != nil {
		b.Fatal(err)
	}
	tracer, day := Tracer{WaterKg: 1.5, Concentration: 1}, LevelDay(0.1, 0.4, 0)
	b.ReportAllocs()
	for b.Loop() {
		if tracer, _, err = table.Advance(tracer, day, 1, 0.05); err != nil {
			b.Fatal(err)
		}
	}
}
