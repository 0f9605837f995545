package descaling

import (
	"fmt"
	"math"
	"strings"

	"limekeep/water"
)

// Acid is what scale is dissolved with.
type Acid string

// The acids that are planned with.
const (
	Citric   Acid = "citric acid" // monohydrate
	Lactic   Acid = "lactic acid" // counted pure; it is sold diluted
	Sulfamic Acid = "sulfamic acid"
)

// Acids lists them.
func Acids() []Acid { return []Acid{Citric, Lactic, Sulfamic} }

// AcidError says that an acid is not one to plan with.
type AcidError struct{ Written string }

// Error names it and lists what is known.
func (e *AcidError) Error() string {
	return fmt.Sprintf("acid: %q is not known: want %s, %s or %s", e.Written, Citric, Lactic, Sulfamic)
}

// properties is what a plan needs of an acid.
type properties struct {
	molarMass   float64 // g/mol
	times       float64 // of what the scale asks for, at least
	mostCelsius float64
	spentPH     float64 // the bath is drained when it has risen to this
	minutes     float64 // longest stay
}

// properties are what is known of the acid. Molar masses: IUPAC weights.
// Temperatures: citrate dissolves less when hot, and sulfamic acid turns to
// sulfate; that of lactic acid is as citric's, for the sake of hands and seals
// (assumption). The excess of citric acid is the least; the others' is for a
// reaction that ends in good time (assumption). Times are common practice.
func (a Acid) properties() (properties, bool) {
	switch a {
	case Citric:
		return properties{molarMass: 210.14, times: 1.5, mostCelsius: 50, spentPH: 3.0, minutes: 20}, true
	case Lactic:
		return properties{molarMass: 90.08, times: 1.5, mostCelsius: 50, spentPH: 4.5, minutes: 30}, true
	case Sulfamic:
		return properties{molarMass: 97.09, times: 1.25, mostCelsius: 60, spentPH: 3.0, minutes: 20}, true
	}
	return properties{}, false
}

// GramsPerGram is the pure acid that dissolves a gram of CaCO3, g/g, on one
// proton each: two moles for one. That is all that lactic and sulfamic acid
// have. Citric acid has three, but with all three spent the bath has just the
// composition of calcium citrate, which hardly dissolves. NaN for no acid.
func (a Acid) GramsPerGram() float64 {
	f, ok := a.properties()
	if !ok {
		return math.NaN()
	}
	return 2 * f.molarMass / water.MolarMassCalcite
}

// Vessel is what is known of a vessel to be descaled.
type Vessel struct {
	ScaleGrams  float64 // of CaCO3; the upper end of the estimate is the careful one
	ThicknessMM float64 // on the element; 0 where not known
	// BathLitres is what one bath is to hold. A bath in the vessel itself is
	// never larger than the vessel, so more than Litres is cut down to it.
	BathLitres    float64
	Litres        float64 // that the vessel holds; 0 where not known
	PumpedThrough bool    // from a container that holds the bath, and back into it
	Aluminium     bool    // anywhere the acid goes
	Prohibition   string  // the maker's words against descaling; empty if none
	CrustOrFlakes bool    // found, and not all taken out since
}

// Limits of what is descaled at home; beyond them loosened scale blocks valves
// (common practice).
const (
	MostGrams = 20.0
	MostMM    = 1.0
	// BathMostGramsPerL is the scale that one bath is to dissolve.
	BathMostGramsPerL = 5.0
)

// bathAlkalinity and bathCalcium are those of the hardest tap water that a bath
// is reckoned to be mixed with: 250 mg/L CaCO3 of either (assumption).
const (
	bathAlkalinity = 5e-3   // eq/L
	bathCalcium    = 2.5e-3 // mol/L
)

// Baths is a plan for descaling: fresh baths, one after the other.
type Baths struct {
	Acid           Acid
	Count          int
	LitresEach     float64
	ScaleGramsEach float64 // what each is to dissolve
	LeastGramsEach float64 // of pure acid: what the scale takes up, no excess
	GramsEach      float64 // of pure acid, with the excess: what to weigh
	MostCelsius    float64
	MostMinutes    float64 // guidance (assumption): drained then, spent or not
	DrainPH        float64 // drained as soon as the bath has risen to this
	CO2LitresEach  float64 // gas that each sets free, at 20 °C and one atmosphere
	SpentSigns     []string
	Rinse          Rinse
	Cautions       []string
}

// RefusalError says why no descaling is planned.
type RefusalError struct{ Reasons []string }

// Error gives the reasons and what to do instead.
func (e *RefusalError) Error() string {
	return "not to be descaled here: " + strings.Join(e.Reasons, "; ") + ": book a workshop"
}

// PlanBaths plans the baths that dissolve a vessel's scale with an acid. The
// error is a *RefusalError where a workshop must do it, a *ValueError or an
// *AcidError.
//
// Citric acid is dosed so that the bath ends at pH 3 or less, which takes more
// than the least excess: tricalcium citrate then stays far from forming.
func PlanBaths(a Acid, d Vessel) (Baths, error) {
	f, ok := a.properties()
	if !ok {
		return Baths{}, &AcidError{Written: string(a)}
	}
	if err := d.check(); err != nil {
		return Baths{}, err
	}
	if reasons := d.refusals(); len(reasons) > 0 {
		return Baths{}, &RefusalError{Reasons: reasons}
	}
	litres := d.bathLitres()
	count := max(1, math.Ceil(d.ScaleGrams/(BathMostGramsPerL*litres)-1e-9))
	scale := d.ScaleGrams / count
	least := scale * a.GramsPerGram()
	dose := least * f.times
	if a == Citric {
		base := 2*scale/water.MolarMassCalcite/litres + bathAlkalinity
		dose = max(dose, citricFor(f.spentPH, base)*f.molarMass*litres)
	}
	b := Baths{
		Acid: a, Count: int(count), LitresEach: litres, ScaleGramsEach: scale,
		LeastGramsEach: least, GramsEach: dose,
		MostCelsius: f.mostCelsius, MostMinutes: f.minutes, DrainPH: f.spentPH,
		CO2LitresEach: CO2Litres(scale), Rinse: UsualRinse(),
		SpentSigns: []string{
			fmt.Sprintf("a strip dipped into what runs out reads pH %.1f or more: drain at once, even if scale is left", f.spentPH),
			"no more bubbles while the pH is still low: the scale is gone",
			fmt.Sprintf("%.0f minutes have passed: drain and look again", f.minutes),
		},
	}
	b.Cautions = b.cautions()
	return b, nil
}

// bathLitres is what one bath holds.
func (d *Vessel) bathLitres() float64 {
	if d.PumpedThrough || d.Litres == 0 {
		return d.BathLitres
	}
	return min(d.BathLitres, d.Litres)
}

// check returns a *ValueError for a number that cannot be.
func (d *Vessel) check() error {
	if !(d.ScaleGrams > 0 && d.ScaleGrams <= 1e5) {
		return &water.ValueError{Quantity: "scale, g", Value: d.ScaleGrams, Want: "more than 0: with none there is nothing to descale"}
	}
	if err := water.CheckRange("thickness of scale, mm", d.ThicknessMM, 0, 100); err != nil {
		return err
	}
	if d.Litres != 0 {
		if err := water.CheckRange("litres of a vessel", d.Litres, 0.02, 1000); err != nil {
			return err
		}
	}
	return water.CheckRange("litres of a bath", d.BathLitres, 0.02, 100)
}

// refusals lists why a workshop must do it.
func (d *Vessel) refusals() []string {
	var reasons []string
	if d.Aluminium {
		reasons = append(reasons, "acid eats aluminium")
	}
	if p := strings.TrimSpace(d.Prohibition); p != "" {
		reasons = append(reasons, fmt.Sprintf("the maker forbids it (%q)", p))
	}
	if d.ThicknessMM > MostMM {
		reasons = append(reasons, fmt.Sprintf("scale of about %.2g mm is more than %g mm and comes off in pieces", d.ThicknessMM, MostMM))
	}
	if d.ScaleGrams > MostGrams {
		reasons = append(reasons, fmt.Sprintf("about %.3g g of scale is more than %g g", d.ScaleGrams, MostGrams))
	}
	if d.CrustOrFlakes {
		reasons = append(reasons, "loose crust or flakes can block a safety valve, a solenoid or a jet")
	}
	return reasons
}

// cautions are the warnings that go with a plan's numbers. Those that go with any work
// with acid (gloves, air, no bleach, mains off) stand with the task, and once.
func (b *Baths) cautions() []string {
	all := []string{
		fmt.Sprintf("each bath sets free up to %.2g L of carbon dioxide: every vessel with acid in it stays open to the air", b.CO2LitresEach),
		"acid does not take off anhydrite (calcium sulfate) or silica",
	}
	if b.Acid == Citric {
		all = append(all, "never let a citric bath stand or boil: spent, it lays down calcium citrate, which is harder to remove than the scale was")
	}
	if b.Count > manyBaths {
		all = append(all, fmt.Sprintf("%d baths are a long job: a larger container to pump round from, or a workshop, is quicker", b.Count))
	}
	return all
}

// manyBaths is as many as an evening allows (assumption).
const manyBaths = 4

// Rinse says when a descaled vessel is clean again.
type Rinse struct {
	PHWithin           float64 // of the feed's pH
	ConductivityWithin float64 // of the feed's, as a share
	VesselVolumes      float64 // at least
	DiscardLitres      float64 // of drinks, afterwards
}

// UsualRinse is common practice.
func UsualRinse() Rinse {
	return Rinse{PHWithin: 0.2, ConductivityWithin: 0.10, VesselVolumes: 5, DiscardLitres: 1}
}

// Of a gas at 20 °C and one atmosphere, by the gas law with the molar gas
// constant of CODATA 2018, 8.31446 J/(mol·K).
const (
	gasConstant     = 8.31446
	roomKelvin      = 293.15
	gasLitresPerMol = gasConstant * roomKelvin / (water.MegapascalPerAtm * 1e6) * 1000
)

// CO2Litres is the carbon dioxide that grams of CaCO3 set free in acid, litres
// at 20 °C and one atmosphere.
func CO2Litres(scaleGrams float64) float64 {
	return scaleGrams / water.MolarMassCalcite * gasLitresPerMol
}

// ClosedBar is the pressure in bar that this gas would build up in a closed
// room of litres at 20 °C: why a vessel with acid in it stays open. No plan asks
// for it; the gas law stands here with its check.
func ClosedBar(scaleGrams, litres float64) float64 {
	const pascalPerBar = 1e5
	return scaleGrams / water.MolarMassCalcite * gasConstant * roomKelvin / (litres / 1000) / pascalPerBar
}
