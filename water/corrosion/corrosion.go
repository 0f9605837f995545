package corrosion

import (
	"fmt"
	"sort"

	"limekeep/water"
	"limekeep/water/conductivity"
	"limekeep/water/inference"
)

// Exposure is what a water meets: the materials it touches and how far it is
// concentrated in the boiler.
type Exposure struct {
	Stainless          bool
	Copper             bool
	Brass              bool
	LevelProbe         bool // a probe that senses water by its conductivity
	ReverseOsmosis     bool // a membrane fed with this water
	Concentration      float64
	BoilerPH           float64 // 0: not known, the water's own pH is taken
	FreeChlorineMgPerL float64 // of the water as it reaches the membrane; 0: none or not known

	// StainlessChlorideMgPerL is the maker's limit for chloride in the boiler;
	// 0 takes the limit for common grades.
	StainlessChlorideMgPerL float64
}

// Warning is a risk to a material or a part, with how likely the water is to
// cross the limit.
type Warning struct {
	Code        WarningCode
	Sentence    string  // plain English, with the numbers
	Probability float64 // share of the set's weight beyond the limit, 0 to 1
}

// WarningCode says what is at risk from what.
type WarningCode string

// The kinds of warning.
const (
	WarnStainlessChloride WarningCode = "stainless: chloride"
	WarnStainlessAcid     WarningCode = "stainless: low pH"
	WarnCopperAcid        WarningCode = "copper: low pH"
	WarnBrassAcid         WarningCode = "brass: low pH"
	WarnBrassChloride     WarningCode = "brass: chloride"
	WarnBrassAlkaline     WarningCode = "brass: high pH"
	WarnProbeBlind        WarningCode = "level probe: pure water"
	WarnMembraneChlorine  WarningCode = "membrane: free chlorine"
)

// Limits beyond which a material is at risk.
const (
	// Pitting and stress corrosion of grades 304 and the like in hot water:
	// common practice, from memory; makers' limits run from 50 to 200 mg/L.
	StainlessChlorideMgPerL = 100.0
	// In acid water the passive film of stainless steel is weaker, and hot
	// water with chloride pits it sooner: common practice, from memory.
	StainlessLeastPH = 5.5
	// Water for people is not to be aggressive, and its pH at least 6.5:
	// Directive (EU) 2020/2184, annex I, part C. Below, zinc and copper are
	// taken out of brass.
	BrassLeastPH = 6.5
	// Below pH 7 water takes up copper and green staining begins: common
	// practice.
	CopperLeastPH = 7.0
	// Zinc is leached from brass by strongly alkaline water: common practice,
	// from memory.
	BrassMostPH = 9.5
	// Probes and their electronics differ; most see water above this: common
	// practice, µS/cm.
	ProbeLeastMicrosiemens = 50.0
	// Polyamide membranes age in proportion to the dose of free chlorine:
	// common practice of their makers, mg/L.
	MembraneChlorineMgPerL = 0.1
)

// warnLeastShare is the share of weight below which a risk is not mentioned
// (assumption).
const warnLeastShare = 0.05

// turnerLine is the line above which duplex brass loses its zinc, after
// Turner (1961, 1965), Proc. Soc. Water Treat. Exam. 10, 162 and 14, 81:
// alkalinity in mg/L CaCO3 against chloride in mg/L. From memory, read off the
// published diagram, drawn for cold water above pH 8: hot water is worse.
var turnerLine = [...]struct{ alkalinity, chloride float64 }{
	{0, 10}, {10, 10}, {35, 20}, {90, 30}, {120, 40}, {150, 60}, {180, 100},
}

// BrassChlorideMgPerL is the chloride in mg/L above which brass is likely to
// lose zinc in water of an alkalinity in mg/L CaCO3, by Turner's line. Beyond
// 180 mg/L CaCO3 the last slope is carried on.
func BrassChlorideMgPerL(alkalinity float64) float64 {
	last := len(turnerLine) - 1
	for i := 1; i <= last; i++ {
		a, b := turnerLine[i-1], turnerLine[i]
		if alkalinity < b.alkalinity || i == last {
			share := max(0, alkalinity-a.alkalinity) / (b.alkalinity - a.alkalinity)
			return a.chloride + share*(b.chloride-a.chloride)
		}
	}
	return turnerLine[last].chloride
}

// Warnings looks at every analysis of a set and returns the warnings that
// hold for at least a twentieth of its weight, sorted by code.
func Warnings(set inference.Set, e Exposure) []Warning {
	times := max(e.Concentration, 1)
	chloride := func(a water.Analysis) float64 { return a.ChlorideMgPerKg * times }
	ph := func(a water.Analysis) float64 { return a.PH }
	var ws []Warning
	warn := func(code WarningCode, holds func(water.Analysis) bool, sentence func() string) {
		if p := set.Share(holds); p >= warnLeastShare {
			ws = append(ws, Warning{code, sentence(), p})
		}
	}
	if e.Stainless {
		limit := StainlessChlorideMgPerL
		if e.StainlessChlorideMgPerL > 0 {
			limit = e.StainlessChlorideMgPerL
		}
		warn(WarnStainlessChloride, func(a water.Analysis) bool { return chloride(a) > limit }, func() string {
			return chlorideSentence(set, times, limit)
		})
		warn(WarnStainlessAcid, func(a water.Analysis) bool { return a.PH < StainlessLeastPH }, func() string {
			return fmt.Sprintf("the pH is about %s; below %.1f the skin that protects stainless steel thins, and less chloride pits it: %s", rangeOf(set, ph), StainlessLeastPH, lessAcid)
		})
	}
	if e.Copper {
		warn(WarnCopperAcid, func(a water.Analysis) bool { return a.PH < CopperLeastPH }, func() string {
			return fmt.Sprintf("the pH is about %s; below %.1f water dissolves copper: blend in untreated water or add alkalinity", rangeOf(set, ph), CopperLeastPH)
		})
	}
	if e.Brass {
		warn(WarnBrassChloride, func(a water.Analysis) bool {
			return a.ChlorideMgPerKg > BrassChlorideMgPerL(a.AlkalinityMgPerKgCaCO3)
		}, func() string {
			alkalinity := func(a water.Analysis) float64 { return a.AlkalinityMgPerKgCaCO3 }
			limit := BrassChlorideMgPerL(set.Quantile(0.5, alkalinity))
			return fmt.Sprintf("chloride is about %s mg/L; with this alkalinity (about %s mg/L CaCO3) more than %.0f leaches zinc from brass: look for pink, soft fittings at the next opening",
				rangeOf(set, func(a water.Analysis) float64 { return a.ChlorideMgPerKg }), rangeOf(set, alkalinity), limit)
		})
		boilerPH := func(a water.Analysis) float64 {
			if e.BoilerPH > 0 {
				return e.BoilerPH
			}
			return a.PH
		}
		warn(WarnBrassAlkaline, func(a water.Analysis) bool { return boilerPH(a) > BrassMostPH }, func() string {
			return fmt.Sprintf("the pH is about %s; above %.1f zinc is leached from brass: a feed with less alkalinity keeps it lower", rangeOf(set, boilerPH), BrassMostPH)
		})
		warn(WarnBrassAcid, func(a water.Analysis) bool { return a.PH < BrassLeastPH }, func() string {
			return fmt.Sprintf("the pH is about %s; below %.1f water takes zinc and copper out of brass: %s", rangeOf(set, ph), BrassLeastPH, lessAcid)
		})
	}
	if e.LevelProbe {
		warn(WarnProbeBlind, func(a water.Analysis) bool { return conductivity.At25(a) < ProbeLeastMicrosiemens }, func() string {
			return fmt.Sprintf("the water conducts about %s µS/cm; below about %.0f a level probe may not see it: the boiler may be overfilled or its element run dry; blend in minerals", rangeOf(set, conductivity.At25), ProbeLeastMicrosiemens)
		})
	}
	if e.ReverseOsmosis && e.FreeChlorineMgPerL > MembraneChlorineMgPerL {
		ws = append(ws, Warning{WarnMembraneChlorine,
			fmt.Sprintf("free chlorine of %.2g mg/L reaches the membrane, which stands %.1f: fit or change the carbon filter before it", e.FreeChlorineMgPerL, MembraneChlorineMgPerL), 1})
	}
	sort.SliceStable(ws, func(a, b int) bool { return ws[a].Code < ws[b].Code })
	return ws
}

// rangeOf writes the median and the 10 and 90 % points of a value.
func rangeOf(set inference.Set, f func(water.Analysis) float64) string {
	return fmt.Sprintf("%.3g (%.3g to %.3g)", set.Quantile(0.5, f), set.Quantile(0.1, f), set.Quantile(0.9, f))
}

// lessAcid says what brings acid water back: behind a cartridge on hydrogen, more
// of the water that goes round it.
const lessAcid = "let more untreated water past a cartridge on hydrogen, or have one on sodium in its place"

// chlorideSentence says what to do about chloride in the boiler. Refreshing helps
// as far as the boiler has concentrated its feed, and no further; and since it is
// work on a hot boiler, it is never asked for more than once a fortnight.
func chlorideSentence(set inference.Set, times, limit float64) string {
	feed := func(a water.Analysis) float64 { return a.ChlorideMgPerKg }
	if likely := set.Quantile(0.5, feed); times == 1 || likely > limit {
		return fmt.Sprintf("the water itself holds about %s mg/L of chloride; above %.0f in a boiler it pits stainless steel. No refreshing gets a boiler below its feed, and no softener takes chloride: use another source, or reverse osmosis", rangeOf(set, feed), limit)
	}
	return fmt.Sprintf("chloride in the boiler is about %s mg/L at a concentration of %.2g; above %.0f it pits stainless steel: refresh the boiler, though not more than once a fortnight; where that does not do, use another source, or reverse osmosis, for no softener takes chloride",
		rangeOf(set, func(a water.Analysis) float64 { return a.ChlorideMgPerKg * times }), times, limit)
}
