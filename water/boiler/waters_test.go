package boiler

import (
	"testing"

	"limekeep/water"
	"limekeep/water/inference"
	"limekeep/water/watertest"
)

// sampledWaters are the reference waters and a set drawn from the prior.
func sampledWaters(t testing.TB) []water.Analysis {
	t.Helper()
	set, err := inference.FromTest(water.Test{Values: []water.Measured{{Quantity: water.PH, Value: 7.5, Unit: water.PHUnit, Spread: 0.8}}}, 60, watertest.Uniform(3))
	if err != nil {
		t.Fatal(err)
	}
	waters := set.Analyses
	seen := map[string]bool{}
	for _, row := range watertest.Read(t, "waters.csv") {
		if !seen[row.Name] {
			seen[row.Name] = true
			waters = append(waters, row.Analysis(t))
		}
	}
	return waters
}
