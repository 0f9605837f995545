package interview

import (
	"math"
	"testing"

	"limekeep/schedule/record"
	"limekeep/water"
)

// Figures by NIST Special Publication 811 (2008), appendix B.8.
func TestVolumesMayBeAnsweredWithAUnit(t *testing.T) {
	today := record.NewDate(2026, 11, 27)
	for typed, want := range map[string]float64{
		"0.2": 0.2, "0,25 l": 0.25, "8 oz": 0.236588, "8 fl. oz": math.NaN(), "130 gal": 492.104, "2 quarts": 1.892706, "200 ml": 0.2, "5 jugs": math.NaN(), "many": math.NaN(), "": math.NaN(),
	} {
		x, _, err := volume("hot", typed, "0.2")
		if refused := math.IsNaN(want); refused != (err != nil) || !refused && math.Abs(x-want) > 1e-5*want {
			t.Errorf("%q is %v litres, %v; not %v", typed, x, err, want)
		}
	}
	q := Question{ID: "litres", Kind: Volume, Usual: "500"}
	for typed, good := range map[string]bool{"130 gal": true, "12000": true, "0.5": false, "2000000": false, "?": true} {
		if _, err := q.Read(typed, today); (err == nil) != good {
			t.Errorf("%q: %v", typed, err)
		}
	}
	told := Answers{"layout": "two boilers", "supply": "mains", "hot": "8 oz", "water": "test", "hardness": "11 gpg", "filter": "softener", "litres": "130 gal"}.Place(today, "America/Chicago")
	if p := told.Setup.Place; p.Units != record.USCustomary || p.HardnessUnit != water.GrainPerGallon {
		t.Errorf("told in %q and %q", p.Units, p.HardnessUnit)
	}
	if p := (Answers{"hot": "0.2", "hardness": "14 dH", "water": "test"}).Place(today, "").Setup.Place; p.Units != "" || p.HardnessUnit != "" {
		t.Errorf("told in %q and %q where nothing was said", p.Units, p.HardnessUnit)
	}
}
