package potential

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/inference"
	"limekeep/water/watertest"
)

// Look-ups against the solver, anywhere in the reach of the tables.
func TestPotentialsAgreeWithSolver(t *testing.T) {
	const each = 12
	s := equilibrium.NewSolver()
	u := watertest.Uniform(9)
	var worstClosed, worstOpen float64
	for i, a := range potentialWaters(t) {
		p, err := New(s, a)
		if err != nil {
			t.Fatal(err)
		}
		cold, err := s.Speciate(a)
		if err != nil {
			t.Fatal(err)
		}
		for k := range each {
			celsius := overCelsius.at(2*u(i, 4*k) - 1)
			times := LeastConcentration * math.Pow(MostConcentration/LeastConcentration, u(i, 4*k+1))
			offset := overOffset.at(2*u(i, 4*k+2) - 1)
			gas := overGas.at(2*u(i, 4*k+3) - 1)
			closed, err := s.ClosedPrecipitation(cold.Totals.Times(times), celsius, offset)
			if err != nil {
				t.Fatal(err)
			}
			open, err := s.OpenPrecipitation(cold.Totals.Times(times), celsius, gas, offset)
			if err != nil {
				t.Fatal(err)
			}
			// Of 0.02 mmol/kg or 2 %, whichever is more.
			share := func(got, want float64) float64 { return math.Abs(got-want) / math.Max(0.02, 0.02*math.Abs(want)) }
			c, o := p.Closed(celsius, times, offset), p.Open(celsius, times, gas, offset)
			worstClosed = max(worstClosed, share(c, closed.CalciteMmolPerKg))
			worstOpen = max(worstOpen, share(o, open.CalciteMmolPerKg))
			if share(c, closed.CalciteMmolPerKg) > 1 {
				t.Errorf("closed %.1f °C ×%.2f offset %.2f: table %.4f, solver %.4f mmol/kg: %+v", celsius, times, offset, c, closed.CalciteMmolPerKg, a)
			}
			if share(o, open.CalciteMmolPerKg) > 1 {
				t.Errorf("open %.1f °C ×%.2f pCO2 10^%.2f offset %.2f: table %.4f, solver %.4f mmol/kg: %+v", celsius, times, gas, offset, o, open.CalciteMmolPerKg, a)
			}
		}
	}
	t.Logf("worst error, of what is allowed: closed %.2f, open %.2f", worstClosed, worstOpen)
}

// Beyond the reach, the edge.
func TestPotentialsBeyondReach(t *testing.T) {
	p, err := New(equilibrium.NewSolver(), watertest.Balanced(200, 150, 7.4))
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range []struct{ got, edge float64 }{
		{p.Closed(20, 1, 0), p.Closed(LeastCelsius, 1, 0)},
		{p.Closed(200, 1, 0), p.Closed(MostCelsius, 1, 0)},
		{p.Closed(93, 0.1, 0), p.Closed(93, LeastConcentration, 0)},
		{p.Closed(93, 9, 0), p.Closed(93, MostConcentration, 0)},
		{p.Closed(93, 1, 2), p.Closed(93, 1, MostSIOffset)},
		{p.Open(93, 1, -9, 0.1), p.Open(93, 1, LeastLog10PCO2, 0.1)},
		{p.Open(93, 1, 0, -2), p.Open(93, 1, MostLog10PCO2, -MostSIOffset)},
	} {
		if c.got != c.edge {
			t.Errorf("case %d: %g, want the edge's %g", i+1, c.got, c.edge)
		}
	}
}

// Hotter, more concentrated, an offset in favour and less CO2: more scale. A
// soft water in a closed circuit dissolves, and says so.
func TestPotentialsRespond(t *testing.T) {
	p, err := New(equilibrium.NewSolver(), watertest.Balanced(200, 150, 7.4))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name       string
		less, more float64
	}{
		{"temperature", p.Closed(90, 1, 0), p.Closed(120, 1, 0)},
		{"concentration", p.Closed(93, 1, 0), p.Closed(93, 1.5, 0)},
		{"offset", p.Closed(93, 1, -0.1), p.Closed(93, 1, 0.1)},
		{"offset, open", p.Open(93, 1, -3.5, -0.1), p.Open(93, 1, -3.5, 0.1)},
		{"pressure of CO2", p.Open(93, 1, -2, 0), p.Open(93, 1, -3.5, 0)},
		{"letting CO2 go", p.Closed(93, 1, 0), p.Open(93, 1, -3.5, 0)},
	} {
		if c.more <= c.less {
			t.Errorf("%s: %.4f, then %.4f mmol/kg, want more", c.name, c.less, c.more)
		}
	}
	soft, err := New(equilibrium.NewSolver(), watertest.Balanced(100, 25, 7.2))
	if err != nil {
		t.Fatal(err)
	}
	if got := soft.Closed(93, 1, 0); got >= 0 {
		t.Errorf("soft water: %.4f mmol/kg, want negative", got)
	}
}

func TestSetPotentialsKeepOrderSideBySide(t *testing.T) {
	set, err := inference.FromTest(water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: 250, Unit: water.PPM, Method: water.MethodStrip},
		{Quantity: water.Alkalinity, Value: 180, Unit: water.PPM, Method: water.MethodStrip},
	}}, 20, watertest.Uniform(1))
	if err != nil {
		t.Fatal(err)
	}
	tables, err := OfSet(set)
	if err != nil {
		t.Fatal(err)
	}
	if len(tables) != len(set.Analyses) {
		t.Fatalf("%d tables for %d analyses", len(tables), len(set.Analyses))
	}
	for i, a := range set.Analyses {
		want, err := New(equilibrium.NewSolver(), a)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, tables[i], cmp.AllowUnexported(Table{}, ClosedTable{})); diff != "" {
			t.Fatalf("table %d is not its own analysis's: %s", i, diff)
		}
	}
	if _, err := OfSet(inference.Set{Analyses: []water.Analysis{{PH: 99}}, Weights: []float64{1}}); err == nil {
		t.Error("an impossible analysis must be refused")
	}
	if tables, err := OfSet(inference.Set{}); err != nil || len(tables) != 0 {
		t.Errorf("no analyses: %d tables, %v", len(tables), err)
	}
}

func TestPotentialsAllocateNothing(t *testing.T) {
	p, err := New(equilibrium.NewSolver(), watertest.Balanced(200, 150, 7.4))
	if err != nil {
		t.Fatal(err)
	}
	var sum float64
	if n := testing.AllocsPerRun(100, func() { sum += p.Closed(93, 1.1, 0.05) + p.Open(93, 1.1, -3, 0.05) }); n != 0 {
		t.Errorf("a look-up allocates %g times", n)
	}
}

func BenchmarkPotentials(b *testing.B) {
	set, err := inference.FromTest(water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: 15, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 11, Unit: water.GermanDegree, Method: water.MethodDrop},
	}}, inference.SetSize, watertest.Uniform(1))
	if err != nil {
		b.Fatal(err)
	}
	tables, err := OfSet(set)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("Closed", func(b *testing.B) {
		i, sum := 0, 0.0
		for b.Loop() {
			sum += tables[i%len(tables)].Closed(80+float64(i%50), 1.1, 0.05)
			i++
		}
	})
	b.Run("Open", func(b *testing.B) {
		i, sum := 0, 0.0
		for b.Loop() {
			sum += tables[i%len(tables)].Open(80+float64(i%50), 1.1, -3, 0.05)
			i++
		}
	})
	b.Run("200 tables", func(b *testing.B) {
		for b.Loop() {
			if _, err := OfSet(set); err != nil {
				b.Fatal(err)
			}
		}
	})
}
