package equilibrium

import (
	"testing"

	"limekeep/water/watertest"
)

// BenchmarkClosedPotential measures the speciation of a cold analysis and its
// closed precipitation potential at boiler temperature.
func BenchmarkClosedPotential(b *testing.B) {
	a := watertest.Read(b, "waters.csv")[0].Analysis(b)
	s := NewSolver()
	b.ReportAllocs()
	for b.Loop() {
		cold, err := s.Speciate(a)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := s.ClosedPrecipitation(cold.Totals, 120, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// A workspace must not allocate once it is warm.
func TestSolverAllocatesNothing(t *testing.T) {
	s := NewSolver()
	allocations := testing.AllocsPerRun(100, func() {
		cold, err := s.Speciate(watertest.Plain)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.ClosedPrecipitation(cold.Totals, 93, 0); err != nil {
			t.Fatal(err)
		}
		if _, err := s.OpenPrecipitation(cold.Totals, 93, -3.5, 0); err != nil {
			t.Fatal(err)
		}
		if _, err := s.SteamPrecipitation(cold.Totals, 120, 5, 4, 0, true); err != nil {
			t.Fatal(err)
		}
	})
	if allocations != 0 {
		t.Errorf("%g allocations, want none", allocations)
	}
}
