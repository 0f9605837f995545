package water

import "testing"

// potentialWaters are the reference waters and a set drawn from the prior.
func potentialWaters(t testing.TB) []Analysis {
	t.Helper()
	set, err := Infer(Test{Values: []Measured{{Quantity: PH, Value: 7.5, Unit: PHUnit, Spread: 0.8}}}, 60, keyedUniform(3))
	if err != nil {
		t.Fatal(err)
	}
	waters := set.Analyses
	seen := map[string]bool{}
	for _, row := range readReference(t, "waters.csv") {
		if !seen[row.name] {
			seen[row.name] = true
			waters = append(waters, row.analysis(t))
		}
	}
	return waters
}
