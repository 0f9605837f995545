package equilibrium

import (
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/watertest"
)

// The trade's rule of thumb for scale at 95 °C, mg per litre drawn, by
// hardness and alkalinity in mg/L CaCO3: a public coffee-water FAQ of 2002.
// It knows no pH and takes all hardness as calcium. With three quarters of it
// as calcium, each cell must lie between what a closed circuit lays down at pH
// 7.2 to 7.6 and what an open one does, give or take 15 mg/L.
//
// Seventeen of eighteen cells lie between the two by themselves. The one above
// is hardness 100 with alkalinity 200: the rule's 88 mg/L is nearly all of the
// hardness, where three quarters of it can give 75 at most.
func TestRuleOfThumbForScale(t *testing.T) {
	alkalinities := []float64{25, 50, 75, 100, 150, 200}
	rows := []struct {
		hardness float64
		mgPerL   []float64
	}{
		{100, []float64{0, 2, 23, 42, 72, 88}},
		{200, []float64{0, 12, 35, 58, 102, 142}},
		{300, []float64{0, 18, 42, 65, 112, 158}},
	}
	between := 0
	s := NewSolver()
	for _, row := range rows {
		for i, alkalinity := range alkalinities {
			potential := func(ph float64) (closed, open float64) {
				a := watertest.Balanced(row.hardness, alkalinity, ph)
				cold, err := s.Speciate(a)
				if err != nil {
					t.Fatal(err)
				}
				c, err := s.ClosedPrecipitation(cold.Totals, 95, 0)
				if err != nil {
					t.Fatal(err)
				}
				o, err := s.OpenPrecipitation(cold.Totals, 95, -3.5, 0)
				if err != nil {
					t.Fatal(err)
				}
				return c.CalciteMmolPerKg * water.MolarMassCalcite, o.CalciteMmolPerKg * water.MolarMassCalcite
			}
			low, _ := potential(7.2)
			high, open := potential(7.6)
			least, most := math.Max(min(low, high, open), 0), math.Max(open, 0)
			cell := row.mgPerL[i]
			if cell >= least && cell <= most {
				between++
			}
			if cell < least-15 || cell > most+15 {
				t.Errorf("hardness %g, alkalinity %g: rule says %g mg/L, closed %.1f to open %.1f", row.hardness, alkalinity, cell, least, most)
			}
		}
	}
	if between != 17 {
		t.Errorf("%d of 18 cells lie between closed and open, want 17", between)
	}
}
