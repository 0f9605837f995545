package boiler

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// fill is a boiler just filled and heated.
func fill(t testing.TB, s *equilibrium.Solver, feed water.Totals, kg, celsius, siOffset float64, brucite bool) (State, Deposit) {
	t.Helper()
	state, d, err := Step(s, State{}, feed, Day{FeedKg: kg}, celsius, siOffset, brucite)
	if err != nil {
		t.Fatal(err)
	}
	return state, d
}

// Day by day at constant flows the balance must come to rest in the steady
// states computed with USGS PHREEQC 3.8.9 for 36 waters, and in Steady's.
func TestDaysReachSteadyState(t *testing.T) {
	s := equilibrium.NewSolver()
	var worstCalcite, worstAnhydrite, worstPH float64
	for i, row := range watertest.Read(t, "steam_boiler.csv") {
		if i%5 > 1 {
			continue // 5 and the 12 rows of each water have no common divisor
		}
		celsius, n := row.At(t, "temperature_c"), row.At(t, "steady_concentration_factor")
		brucite := row.At(t, "brucite_forms") == 1
		where := fmt.Sprintf("%s at %g °C, %g fold, brucite %v", row.Name, celsius, n, brucite)
		cold, err := s.Speciate(row.Analysis(t))
		if err != nil {
			t.Fatal(err)
		}
		const kg = 1.5
		state, _ := fill(t, s, cold.Totals, kg, celsius, 0, brucite)
		// A third of the boiler as liquid each time, twenty times over.
		feedKg := kg * n / 3
		day := LevelDay(feedKg/n, feedKg*(1-1/n), 0)
		var d Deposit
		for range 45 {
			if state, d, err = Step(s, state, cold.Totals, day, celsius, 0, brucite); err != nil {
				t.Fatalf("%s: %v", where, err)
			}
		}
		steady, err := Steady(s, cold.Totals, celsius, n, 0, brucite)
		if err != nil {
			t.Fatal(err)
		}
		watertest.Near(t, where+": concentration", state.Dissolved.Chloride/cold.Totals.Chloride, n, 1e-5*n)
		calcium := 1000 * cold.Totals.Calcium
		for _, want := range []float64{row.At(t, "steady_calcite_mmol_per_kg_feed"), steady.CalciteMmolPerKg} {
			got := 1000 * d.CalciteMol / feedKg
			watertest.Near(t, where+": calcite, mmol/kg fed", got, want, 0.01*want+0.002*calcium)
			worstCalcite = max(worstCalcite, math.Abs(got-want)/calcium)
		}
		for _, want := range []float64{row.At(t, "steady_anhydrite_mmol_per_kg_feed"), steady.AnhydriteMmolPerKg} {
			got := 1000 * d.AnhydriteMol / feedKg
			watertest.Near(t, where+": anhydrite, mmol/kg fed", got, want, 0.01*want+0.002*calcium)
			worstAnhydrite = max(worstAnhydrite, math.Abs(got-want)/calcium)
		}
		watertest.Near(t, where+": brucite, mmol/kg fed", 1000*d.BruciteMol/feedKg, row.At(t, "steady_brucite_mmol_per_kg_feed"),
			0.01*steady.BruciteMmolPerKg+0.002*1000*cold.Totals.Magnesium)
		for _, want := range []float64{row.At(t, "steady_ph"), steady.Solution.PH} {
			watertest.Near(t, where+": pH", d.Solution.PH, want, 0.03)
			worstPH = max(worstPH, math.Abs(d.Solution.PH-want))
		}
	}
	t.Logf("largest deviations: calcite %.2g and anhydrite %.2g of the calcium fed, pH %.2g", worstCalcite, worstAnhydrite, worstPH)
}

// drawDay draws a day that a boiler holding kg can have.
func drawDay(t *rapid.T, kg float64) Day {
	between := func(low, high float64, label string) float64 {
		return rapid.Float64Range(low, high).Draw(t, label)
	}
	day := LevelDay(between(0, 3*kg, "hot water"), between(0, 3*kg, "steam"), 0)
	switch rapid.IntRange(0, 3).Draw(t, "kind of day") {
	case 0: // partly or wholly drained and refilled
		day.DrainKg = between(0, kg, "drained")
		day.FeedKg += day.DrainKg
	case 1: // the level moves
		day.FeedKg += between(-0.3, 0.3, "level") * min(kg, day.FeedKg)
	case 2:
		day = Day{} // idle
	}
	return day
}

// Over any schedule, what was fed, what left with liquid and steam, what lies
// as solid and what is dissolved must balance for each element, the steam's CO2
// must be what the pressure says, and the water must be at rest.
func TestBoilerConserves(t *testing.T) {
	s := equilibrium.NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		feeds := [2]water.Totals{watertest.Solve(t, s.Speciate, watertest.Draw(t)).Totals, watertest.Solve(t, s.Speciate, watertest.Draw(t)).Totals}
		kg := rapid.Float64Range(0.5, 10).Draw(t, "boiler, kg")
		celsius := rapid.Float64Range(101, 140).Draw(t, "celsius")
		offset := rapid.Float64Range(-0.3, 0.3).Draw(t, "offset")
		brucite := rapid.Bool().Draw(t, "brucite")
		state, d, err := Step(s, State{}, feeds[0], Day{FeedKg: kg}, celsius, offset, brucite)
		if err != nil {
			t.Fatal(err)
		}
		fed, drawn, solids, gas := feeds[0].Times(kg), d.Drawn, d.Solids, d.SteamCO2Mol
		water := kg
		for i := range rapid.IntRange(1, 12).Draw(t, "days") {
			day, feed := drawDay(t, state.WaterKg), feeds[i%2]
			state, d, err = Step(s, state, feed, day, celsius, offset, brucite)
			if err != nil {
				t.Fatalf("%+v: %v", day, err)
			}
			fed, drawn = fed.Plus(feed.Times(day.FeedKg)), drawn.Plus(d.Drawn)
			solids, gas = solids.Plus(d.Solids), gas+d.SteamCO2Mol
			water += day.FeedKg - day.HotWaterKg - day.SteamKg - day.DrainKg
			if d.CalciteMol < 0 || d.AnhydriteMol < 0 || d.BruciteMol < 0 || d.SteamCO2Mol < 0 {
				t.Errorf("something came back: %+v", d)
			}
		}
		there := state.Dissolved.Times(state.WaterKg)
		for name, c := range map[string][2]float64{
			"calcium":    {fed.Calcium, drawn.Calcium + there.Calcium + solids.CalciteMol + solids.AnhydriteMol},
			"magnesium":  {fed.Magnesium, drawn.Magnesium + there.Magnesium + solids.BruciteMol},
			"carbon":     {fed.Carbon, drawn.Carbon + there.Carbon + solids.CalciteMol + gas},
			"sulfur":     {fed.Sulfate, drawn.Sulfate + there.Sulfate + solids.AnhydriteMol},
			"chloride":   {fed.Chloride, drawn.Chloride + there.Chloride},
			"sodium":     {fed.Sodium, drawn.Sodium + there.Sodium},
			"nitrate":    {fed.Nitrate, drawn.Nitrate + there.Nitrate},
			"silica":     {fed.Silica, drawn.Silica + there.Silica},
			"alkalinity": {fed.Alkalinity, drawn.Alkalinity + there.Alkalinity + 2*solids.CalciteMol + 2*solids.BruciteMol},
		} {
			if math.Abs(c[0]-c[1]) > 1e-9*math.Abs(c[0])+1e-18 {
				t.Errorf("%s: fed %.12g mol, found %.12g", name, c[0], c[1])
			}
		}
		if math.Abs(state.WaterKg-water) > 1e-9*kg {
			t.Errorf("%.12g kg of water, want %.12g", state.WaterKg, water)
		}
		if state.WaterKg == 0 {
			return
		}
		rest, err := s.Equilibrate(state.Dissolved, celsius)
		if err != nil {
			t.Fatal(err)
		}
		if si := rest.SaturationIndex(equilibrium.Calcite) + offset; si > 1e-6 {
			t.Errorf("calcite still at index %g", si)
		}
		if si := rest.SaturationIndex(equilibrium.Anhydrite); si > 1e-6 {
			t.Errorf("anhydrite still at index %g", si)
		}
	})
}

// The CO2 that leaves is what the pressure over the water at the end of a short
// step says: moles of steam times its share of the pressure.
func TestSteamCarriesItsShare(t *testing.T) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	state, _ := fill(t, s, cold.Totals, 2, 120, 0, false)
	_, d, err := Step(s, state, cold.Totals, LevelDay(0.1, 0.5, 0), 120, 0, false)
	if err != nil {
		t.Fatal(err)
	}
	// Saturation pressure at 120 °C by the steam tables: 198.67 kPa.
	want := 0.5 * 55.506 * math.Pow(10, d.Solution.Log10PCO2) * 101.325 / 198.67
	watertest.Near(t, "CO2 in the steam, mol", d.SteamCO2Mol, want, 1e-4*want)
}

// By hand: chloride in a boiler of M kg fed f and drawn h a day follows
// dn/dt = f·c - h·n/M, so c(t)/c = f/h + (1 - f/h)·exp(-h·t/M), whatever the
// steps. A boiler that is not fed keeps its chloride in less water.
func TestChlorideIsExact(t *testing.T) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	chloride := cold.Totals.Chloride
	state, _ := fill(t, s, cold.Totals, 1.5, 125, 0, false)
	for day := 1; day <= 5; day++ {
		if state, _, err = Step(s, state, cold.Totals, LevelDay(0.3, 1.2, 0), 125, 0, false); err != nil {
			t.Fatal(err)
		}
		want := 5 - 4*math.Exp(-0.2*float64(day))
		watertest.Near(t, fmt.Sprintf("concentration on day %d", day), state.Dissolved.Chloride/chloride, want, 1e-12*want)
	}
	before := state
	if state, _, err = Step(s, state, cold.Totals, Day{SteamKg: 0.9}, 125, 0, false); err != nil {
		t.Fatal(err)
	}
	watertest.Near(t, "water left", state.WaterKg, 0.6, 1e-12)
	watertest.Near(t, "chloride left", state.Dissolved.Chloride*0.6, before.Dissolved.Chloride*1.5, 1e-12)
}

// A day in one call must lay down what the same day in 64 pieces does.
func TestDayStepsAreFineEnough(t *testing.T) {
	s := equilibrium.NewSolver()
	worst := 0.0
	for i, row := range watertest.Read(t, "steam_boiler.csv") {
		if i%36 != 0 {
			continue
		}
		cold, err := s.Speciate(row.Analysis(t))
		if err != nil {
			t.Fatal(err)
		}
		for _, turnover := range []float64{0.2, 1, 5} {
			run := func(days, pieces int) float64 {
				state, d := fill(t, s, cold.Totals, 1, 120, 0, false)
				grams := d.Grams()
				part := 1 / float64(pieces)
				for range days * pieces {
					day := LevelDay(0.15*turnover*part, 0.85*turnover*part, 0)
					if state, d, err = Step(s, state, cold.Totals, day, 120, 0, false); err != nil {
						t.Fatal(err)
					}
					grams += d.Grams()
				}
				return grams
			}
			fine, coarse := run(10, 64), run(10, 1)
			fed := cold.Totals.Calcium * 10 * turnover * water.MolarMassCalcite
			watertest.Near(t, fmt.Sprintf("%s, turnover %g: grams", row.Name, turnover), coarse, fine, 0.01*fed)
			worst = max(worst, math.Abs(coarse-fine)/fed)
		}
	}
	t.Logf("largest difference %.2g of the calcium fed", worst)
}

func TestBoilerRefuses(t *testing.T) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	state, _ := fill(t, s, cold.Totals, 1, 120, 0, false)
	for name, test := range map[string]struct {
		day     Day
		celsius float64
	}{
		"negative feed":     {Day{FeedKg: -1}, 120},
		"NaN steam":         {Day{FeedKg: 1, SteamKg: math.NaN()}, 120},
		"boiled dry":        {Day{SteamKg: 0.95}, 120},
		"drained too much":  {Day{DrainKg: 1.1}, 120},
		"cold":              {LevelDay(0.1, 0.1, 0), 90},
		"beyond the model":  {LevelDay(0, 3000, 0), 120},
		"NaN temperature":   {LevelDay(0, 1, 0), math.NaN()},
		"hotter than known": {LevelDay(0, 1, 0), 141},
	} {
		var value *water.ValueError
		after, _, err := Step(s, state, cold.Totals, test.day, test.celsius, 0, false)
		if !errors.As(err, &value) {
			t.Errorf("%s: %v, want a ValueError", name, err)
		}
		if after != state {
			t.Errorf("%s: the state changed", name)
		}
	}
	if _, _, err := Step(s, State{}, cold.Totals, LevelDay(1, 1, 0), 120, 0, false); err == nil {
		t.Error("drawn from an empty boiler: no error")
	}
	if state, _, err = Step(s, state, cold.Totals, Day{DrainKg: 1}, 120, 0, false); err != nil || state != (State{}) {
		t.Errorf("drained dry: %+v, %v, want an empty boiler", state, err)
	}
}

// Solids must not dissolve again when softer water follows.
func TestSolidsStay(t *testing.T) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	state, d := fill(t, s, cold.Totals, 1, 120, 0, false)
	if d.CalciteMol <= 0 {
		t.Fatalf("nothing formed on filling: %+v", d)
	}
	_, d, err = Step(s, state, water.Totals{}, LevelDay(2, 1, 0), 120, 0, false)
	if err != nil {
		t.Fatal(err)
	}
	if d.CalciteMol < 0 {
		t.Errorf("%g mol of calcite", d.CalciteMol)
	}
}

// BenchmarkStepBoiler measures a day of a home machine's steam boiler.
func BenchmarkStepBoiler(b *testing.B) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		b.Fatal(err)
	}
	start, _ := fill(b, s, cold.Totals, 1.5, 125, 0, true)
	for _, turnover := range []float64{0.3, 1, 5} {
		b.Run(fmt.Sprintf("turnover %g", turnover), func(b *testing.B) {
			day, state := LevelDay(0.3*turnover, 1.2*turnover, 0), start
			b.ReportAllocs()
			for b.Loop() {
				if state, _, err = Step(s, state, cold.Totals, day, 125, 0, true); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
