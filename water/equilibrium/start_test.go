package equilibrium

import (
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/watertest"
)

// From wherever a search begins it ends at the same answer: of the reference waters, from
// the same water with another offset, at another temperature and concentrated, and from
// where two of these point to.
func TestStartsLeadToTheSame(t *testing.T) {
	s := NewSolver()
	searched := func(from Start, w water.Totals, celsius, offset float64) (float64, Start) {
		t.Helper()
		mmol, err := s.ClosedPotential(from, w, celsius, offset)
		if err != nil {
			t.Fatal(err)
		}
		return mmol, s.Ended()
	}
	worst := 0.0
	for _, row := range watertest.Read(t, "waters.csv") {
		cold, err := s.Speciate(row.Analysis(t))
		if err != nil {
			t.Fatal(err)
		}
		w := cold.Totals
		want, own := searched(Start{}, w, 93, 0)
		_, offset := searched(Start{}, w, 93, 0.3)
		_, further := searched(Start{}, w, 93, 0.6)
		_, hot := searched(Start{}, w, 130, 0)
		_, strong := searched(Start{}, w.Times(1.8), 93, 0)
		for name, from := range map[string]Start{
			"itself": own, "another offset": offset, "hotter": hot, "concentrated": strong,
			"on from two offsets": offset.Along(further, offset, 1), "of other solids": Likely(Solids{Brucite: true}),
		} {
			got, _ := searched(from, w, 93, 0)
			off := math.Abs(got-want) / max(math.Abs(want), 0.01)
			worst = max(worst, off)
			if off > 1e-6 {
				t.Errorf("%s, from %s: %.9g mmol/kg, want %.9g", row.Name, name, got, want)
			}
		}
		plain, err := s.ClosedPrecipitation(w, 93, 0)
		if err != nil || plain.CalciteMmolPerKg != want {
			t.Errorf("%s: %g mmol/kg alone and %g with all else (%v)", row.Name, want, plain.CalciteMmolPerKg, err)
		}
	}
	t.Logf("furthest apart: %.1e of the potential", worst)
}

// A start far from anything is no harm: the search estimates its own.
func TestStartFarFromThere(t *testing.T) {
	s := NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	want, err := s.ClosedPotential(Start{}, cold.Totals, 93, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, far := range []float64{math.NaN(), math.Inf(1), 500, -500} {
		from := Start{solids: Solids{Calcite: true}, known: true, strength: 1e-2, solutes: 1e-2, slope: -1, ln: [3]float64{far, far, far}}
		got, err := s.ClosedPotential(from, cold.Totals, 93, 0)
		if err != nil || math.Abs(got-want) > 1e-6*want {
			t.Errorf("from %g: %g mmol/kg, want %g (%v)", far, got, want, err)
		}
	}
}
