package corrosion

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/water"
	"limekeep/water/inference"
	"limekeep/water/watertest"
)

// One quarter of the weight of this set is a soft, salty, acid water and three
// quarters an ordinary one.
func corrosionSet() inference.Set {
	ordinary := watertest.Balanced(200, 150, 7.4)
	ordinary.ChlorideMgPerKg = 20
	salty := watertest.Balanced(40, 30, 6.6)
	salty.ChlorideMgPerKg = 60
	return inference.Set{Analyses: []water.Analysis{salty, ordinary}, Weights: []float64{0.25, 0.75}}
}

func TestCorrosion(t *testing.T) {
	pure := inference.Set{Analyses: []water.Analysis{watertest.Balanced(5, 5, 6.8)}, Weights: []float64{1}}
	for _, c := range []struct {
		name string
		set  inference.Set
		e    Exposure
		want map[WarningCode]float64
	}{
		{"nothing exposed", corrosionSet(), Exposure{}, nil},
		{"boiler refreshed often", corrosionSet(), Exposure{Stainless: true, Concentration: 1.5}, nil},
		{"boiler concentrated twofold", corrosionSet(), Exposure{Stainless: true, Concentration: 2}, map[WarningCode]float64{WarnStainlessChloride: 0.25}},
		{"boiler concentrated sixfold", corrosionSet(), Exposure{Stainless: true, Concentration: 6}, map[WarningCode]float64{WarnStainlessChloride: 1}},
		{"a maker's limit", corrosionSet(), Exposure{Stainless: true, StainlessChlorideMgPerL: 50}, map[WarningCode]float64{WarnStainlessChloride: 0.25}},
		{"copper", corrosionSet(), Exposure{Copper: true}, map[WarningCode]float64{WarnCopperAcid: 0.25}},
		{"brass", corrosionSet(), Exposure{Brass: true}, map[WarningCode]float64{WarnBrassChloride: 0.25}},
		{"brass in a strong boiler", corrosionSet(), Exposure{Brass: true, BoilerPH: 10.5}, map[WarningCode]float64{WarnBrassChloride: 0.25, WarnBrassAlkaline: 1}},
		{"probe in ordinary water", corrosionSet(), Exposure{LevelProbe: true}, nil},
		{"probe in pure water", pure, Exposure{LevelProbe: true}, map[WarningCode]float64{WarnProbeBlind: 1}},
		{"membrane behind carbon", pure, Exposure{ReverseOsmosis: true, FreeChlorineMgPerL: 0.05}, nil},
		{"membrane in chlorine", pure, Exposure{ReverseOsmosis: true, FreeChlorineMgPerL: 0.4}, map[WarningCode]float64{WarnMembraneChlorine: 1}},
		{"chlorine and no membrane", pure, Exposure{FreeChlorineMgPerL: 0.4}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got map[WarningCode]float64
			last := WarningCode("")
			for _, w := range Warnings(c.set, c.e) {
				if got == nil {
					got = map[WarningCode]float64{}
				}
				got[w.Code] = w.Probability
				if w.Code <= last || w.Sentence == "" || strings.Contains(w.Sentence, "%!") || strings.Contains(w.Sentence, "NaN") {
					t.Errorf("out of order or badly said: %+v", w)
				}
				last = w.Code
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Of 300 mg/L of chloride in the feed no refreshing rids a boiler, and no softener;
// draining a hot boiler is never asked for more often than once a fortnight.
func TestChlorideOfTheFeed(t *testing.T) {
	salty := watertest.Balanced(200, 150, 7.4)
	salty.ChlorideMgPerKg = 300
	for _, c := range []struct {
		name          string
		chloride      float64
		concentration float64
		want          []string
		not           []string
	}{
		{"in the feed", 300, 1, []string{"the water itself holds about 300", "No refreshing gets a boiler below its feed", "no softener takes chloride", "another source, or reverse osmosis"}, []string{"refresh the boiler", "more often"}},
		{"in the feed, concentrated", 300, 3, []string{"the water itself holds about 300", "reverse osmosis"}, []string{"refresh the boiler", "more often"}},
		{"gathered in the boiler", 40, 4, []string{"about 160", "not more than once a fortnight", "no softener takes chloride"}, []string{"more often"}},
	} {
		salty.ChlorideMgPerKg = c.chloride
		set := inference.Set{Analyses: []water.Analysis{salty}, Weights: []float64{1}}
		ws := Warnings(set, Exposure{Stainless: true, Concentration: c.concentration})
		if len(ws) != 1 || ws[0].Code != WarnStainlessChloride {
			t.Errorf("%s: %+v, want a warning of chloride alone", c.name, ws)
			continue
		}
		for _, want := range c.want {
			if !strings.Contains(ws[0].Sentence, want) {
				t.Errorf("%s: %q, want %q in it", c.name, ws[0].Sentence, want)
			}
		}
		for _, not := range c.not {
			if strings.Contains(ws[0].Sentence, not) {
				t.Errorf("%s: %q, want no %q in it", c.name, ws[0].Sentence, not)
			}
		}
	}
}

// Water of pH 4.4 behind a hydrogen cartridge has a word for each metal it meets.
func TestAcidWaterWarnsEveryMetal(t *testing.T) {
	acid := watertest.Balanced(60, 2, 4.4)
	set := inference.Set{Analyses: []water.Analysis{acid}, Weights: []float64{1}}
	got := map[WarningCode]string{}
	for _, w := range Warnings(set, Exposure{Stainless: true, Copper: true, Brass: true}) {
		got[w.Code] = w.Sentence
	}
	for _, code := range []WarningCode{WarnStainlessAcid, WarnCopperAcid, WarnBrassAcid} {
		if !strings.Contains(got[code], "4.4") {
			t.Errorf("%s: %q, want the pH of 4.4 in it", code, got[code])
		}
	}
}

// A risk in one water of fifty is not worth a warning.
func TestCorrosionLeavesOutTheUnlikely(t *testing.T) {
	set := corrosionSet()
	set.Weights = []float64{0.02, 0.98}
	if ws := Warnings(set, Exposure{Copper: true, Brass: true}); len(ws) != 0 {
		t.Errorf("warnings for a fiftieth: %+v", ws)
	}
}

func TestBrassChloride(t *testing.T) {
	for _, c := range []struct{ alkalinity, want float64 }{{0, 10}, {10, 10}, {35, 20}, {62.5, 25}, {150, 60}, {180, 100}, {210, 140}} {
		if got := BrassChlorideMgPerL(c.alkalinity); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("alkalinity %g: %g mg/L, want %g", c.alkalinity, got, c.want)
		}
	}
}
