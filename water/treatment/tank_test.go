package treatment

import (
	"errors"
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// Water 1 of DIN 38404-10:2012-12, table 4, holds at 10 °C (CO2 as gas 10^-1.27
// mol/kg/atm) far more CO2 than air leaves in it: 10^(-1.27-3.4). All of the
// excess gone, the pressure must be the air's; a share gone, that share of the
// carbon.
func TestAired(t *testing.T) {
	s := equilibrium.NewSolver()
	cold, err := s.Speciate(watertest.Plain)
	if err != nil {
		t.Fatal(err)
	}
	celsius := watertest.Plain.MeasuredCelsius
	all, err := Aired(s, cold.Totals, celsius, 1)
	if err != nil {
		t.Fatal(err)
	}
	rest, err := s.Equilibrate(all, celsius)
	if err != nil {
		t.Fatal(err)
	}
	watertest.Near(t, "log10 of the pressure of CO2", rest.Log10PCO2, -3.4, 1e-6)
	last := cold.PH
	for _, share := range []float64{TankLeastShare, 0.5, TankMostShare, 1} {
		aired, err := Aired(s, cold.Totals, celsius, share)
		if err != nil {
			t.Fatal(err)
		}
		watertest.Near(t, "carbon", aired.Carbon, cold.Totals.Carbon-share*(cold.Totals.Carbon-all.Carbon), 1e-12)
		other := aired
		other.Carbon = cold.Totals.Carbon
		if other != cold.Totals {
			t.Errorf("more than carbon changed: %+v", aired)
		}
		sol, err := s.Equilibrate(aired, celsius)
		if err != nil {
			t.Fatal(err)
		}
		if sol.PH <= last {
			t.Errorf("pH %.3f after losing %g, want above %.3f", sol.PH, share, last)
		}
		last = sol.PH
	}
	poor := all
	poor.Carbon *= 0.95
	if got, err := Aired(s, poor, celsius, 1); err != nil || got != poor {
		t.Errorf("water poor in CO2 became %+v, %v", got, err)
	}
}

// Pure water at rest with air has pH 5.6 (textbooks: 400 ppm, 25 °C).
func TestAiredPureWater(t *testing.T) {
	s := equilibrium.NewSolver()
	aired, err := Aired(s, water.Totals{Carbon: 1e-3}, 25, 1)
	if err != nil {
		t.Fatal(err)
	}
	sol, err := s.Equilibrate(aired, 25)
	if err != nil {
		t.Fatal(err)
	}
	watertest.Near(t, "pH", sol.PH, 5.6, 0.05)
}

func TestAiredRefuses(t *testing.T) {
	s := equilibrium.NewSolver()
	var value *water.ValueError
	for _, share := range []float64{-0.1, 1.1, math.NaN()} {
		if _, err := Aired(s, water.Totals{}, 20, share); !errors.As(err, &value) {
			t.Errorf("share %g: %v, want a ValueError", share, err)
		}
	}
	if _, err := Aired(s, water.Totals{}, 101, 0.5); !errors.As(err, &value) {
		t.Errorf("101 °C: %v, want a ValueError", err)
	}
	if _, err := Aired(s, water.Totals{Calcium: -1}, 20, 0.5); !errors.As(err, &value) {
		t.Errorf("negative calcium: %v, want a ValueError", err)
	}
}
