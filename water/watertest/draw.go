package watertest

import (
	"pgregory.net/rapid"

	"limekeep/water"
)

// Draw draws an analysis a kitchen could have, charge-balanced by sodium
// or chloride.
func Draw(t *rapid.T) water.Analysis {
	between := func(low, high float64, label string) float64 {
		return rapid.Float64Range(low, high).Draw(t, label)
	}
	a := water.Analysis{
		MeasuredCelsius:        between(5, 30, "celsius"),
		PH:                     between(6.3, 8.8, "pH"),
		CalciumMgPerKg:         between(1, 180, "calcium"),
		MagnesiumMgPerKg:       between(0, 45, "magnesium"),
		PotassiumMgPerKg:       between(0, 10, "potassium"),
		AlkalinityMgPerKgCaCO3: between(5, 450, "alkalinity"),
		SulfateMgPerKg:         between(0, 250, "sulfate"),
		NitrateMgPerKg:         between(0, 50, "nitrate"),
		SilicaMgPerKg:          between(0, 45, "silica"),
	}
	totals := a.Totals()
	if missing := totals.ChargeBalance(); missing > 0 {
		a.ChlorideMgPerKg = missing * water.MolarMassChlorine * 1000
	} else {
		a.SodiumMgPerKg = -missing * water.MolarMassSodium * 1000
	}
	return a
}

// Solve fails the test where a drawn water has no answer.
func Solve[S any](t rapid.TB, ask func(water.Analysis) (S, error), a water.Analysis) S {
	t.Helper()
	answer, err := ask(a)
	if err != nil {
		t.Fatalf("%+v: %v", a, err)
	}
	return answer
}
