package treatment

import (
	"fmt"

	"limekeep/water"
	"limekeep/water/figure"
)

// Cartridge is one stage of treatment with the size its maker states. The
// zero value of the fields that a kind does not need is right.
type Cartridge struct {
	Kind          CartridgeKind
	HydrogenShare float64 // of a mixed exchanger: share of its sites on hydrogen, the rest on sodium, 0 to 1
	BypassShare   float64 // share of the water that goes round it, 0 to 1

	// RatedLitres of water holding RatedMeqPerLitre of what the exchanger takes
	// use it up: hardness, for a decarboniser carbonate hardness. The litres are
	// those that flow through the resin.
	RatedLitres      float64
	RatedMeqPerLitre float64
}

// CartridgeKind says what a cartridge does.
type CartridgeKind string

// The kinds of cartridge.
const (
	SedimentFilter CartridgeKind = "sediment"     // holds back particles; the dissolved stays
	CarbonFilter   CartridgeKind = "carbon"       // takes free chlorine; the ions stay
	Softener       CartridgeKind = "softener"     // strong acid resin on sodium
	Decarboniser   CartridgeKind = "decarboniser" // weak acid resin on hydrogen
	MixedExchanger CartridgeKind = "mixed"        // part on hydrogen, part on sodium
)

// Validate returns a *ValueError for the first share or size that cannot be.
func (c Cartridge) Validate() error {
	if err := water.CheckRange("bypass share", c.BypassShare, 0, 1); err != nil {
		return err
	}
	if c.Kind == MixedExchanger {
		if err := water.CheckRange("share of the exchanger on hydrogen", c.HydrogenShare, 0, 1); err != nil {
			return err
		}
	}
	if !c.Exchanges() {
		return nil
	}
	if err := water.CheckRange("rated litres", c.RatedLitres, 1e-3, 1e7); err != nil {
		return err
	}
	return water.CheckRange("rated hardness, meq/L", c.RatedMeqPerLitre, 1e-3, 100)
}

// Exchanges says whether the cartridge takes ions and so has a capacity in
// equivalents.
func (c Cartridge) Exchanges() bool {
	return c.Kind == Softener || c.Kind == Decarboniser || c.Kind == MixedExchanger
}

// hydrogen is the share of the sites on hydrogen.
func (c Cartridge) hydrogen() float64 {
	switch c.Kind {
	case Decarboniser:
		return 1
	case MixedExchanger:
		return c.HydrogenShare
	}
	return 0
}

// CapacityMeq is what the exchanger takes in all, in milliequivalents: the
// rated litres times what is in each.
func (c Cartridge) CapacityMeq() float64 { return c.RatedLitres * c.RatedMeqPerLitre }

// LoadMeqPerLitre is what a litre of water that flows through the resin asks of
// it, meq/L; the bypass is not counted. A litre of water weighs a kilogram.
func (c Cartridge) LoadMeqPerLitre(t water.Totals) float64 {
	if !c.Exchanges() {
		return 0
	}
	onHydrogen, onSodium := exchanged(t, c.hydrogen())
	return 1000 * (onHydrogen + onSodium)
}

// Used is the share of the capacity that litres of a water use up, those that
// go round the exchanger included in the litres: 1 is the capacity. At twice
// the hardness half the litres do.
func (c Cartridge) Used(t water.Totals, litres float64) float64 {
	if !c.Exchanges() {
		return 0
	}
	return litres * (1 - c.BypassShare) * c.LoadMeqPerLitre(t) / c.CapacityMeq()
}

// Treat gives the water behind a cartridge of which a share of the capacity is
// used, 0 fresh, above 1 beyond: what breaks through and what goes round are
// mixed in. Total carbon stays, so that Solver.Equilibrate gives the lower pH
// behind an exchanger on hydrogen.
func (c Cartridge) Treat(t water.Totals, used float64) water.Totals {
	if !c.Exchanges() {
		return t
	}
	return exchange(t, c.hydrogen(), (1-c.BypassShare)*(1-Breakthrough(used)))
}

// ChlorinePassed is the share of free chlorine that gets through a cartridge
// that has treated a share used of its rated litres, 0 fresh: a carbon filter
// breaks through as an exchanger does, any other lets all pass (assumption).
func (c Cartridge) ChlorinePassed(used float64) float64 {
	if c.Kind != CarbonFilter {
		return 1
	}
	return c.BypassShare + (1-c.BypassShare)*Breakthrough(used)
}

// exchanged is what an exchanger with a share of its sites on hydrogen takes
// for hydrogen and for sodium while it is fresh, eq/kg. Weak acid sites give
// hydrogen only where alkalinity receives it.
func exchanged(t water.Totals, hydrogen float64) (onHydrogen, onSodium float64) {
	hardness := 2 * (t.Calcium + t.Magnesium)
	return max(0, min(hydrogen*hardness, t.Alkalinity)), (1 - hydrogen) * hardness
}

// exchange takes a share of what a fresh exchanger takes. Calcium and magnesium
// go in proportion (assumption: resins favour calcium a little).
func exchange(t water.Totals, hydrogen, share float64) water.Totals {
	onHydrogen, onSodium := exchanged(t, hydrogen)
	onHydrogen, onSodium = share*onHydrogen, share*onSodium
	taken := onHydrogen + onSodium
	if taken == 0 {
		return t
	}
	left := max(0, 1-taken/(2*(t.Calcium+t.Magnesium)))
	t.Calcium *= left
	t.Magnesium *= left
	t.Sodium += onSodium
	t.Alkalinity -= onHydrogen
	return t
}

// breakthroughWidth is how far around its rated capacity, as a share of it, an
// exchanger lets hardness through. Assumption: cartridges of small columns
// leak from about three quarters of their capacity on.
const breakthroughWidth = 0.12

// Breakthrough gives the share of the hardness, 0 to 1, that an exchanger lets
// through once a share used of its capacity is spent; half at the capacity
// itself. The S-shape is that of a column with a spread of path lengths. In all
// it takes as much as its capacity.
func Breakthrough(used float64) float64 {
	return figure.NormalBelow((used - 1) / breakthroughWidth)
}

// BlendFor is the share of raw water to mix into treated, 0 to 1, for a target
// of carbonate hardness in eq/kg: the bypass to set, or the blend behind a
// membrane. Treated is the water behind the treatment with its bypass shut. A
// target that no blend reaches is a *ValueError with those that can be. No answer
// asks for it yet; it is the balance of a mixture, held to by its tests.
func BlendFor(treated, raw water.Totals, target float64) (share float64, err error) {
	low, high := treated.CarbonateHardness(), raw.CarbonateHardness()
	if !(target >= low && target <= high) {
		const toMgPerL = 1000 * water.EquivalentMassCaCO3
		return 0, &water.ValueError{Quantity: "target of carbonate hardness, mg/L CaCO3", Value: target * toMgPerL,
			Want: fmt.Sprintf("%.3g (all of it treated) to %.3g (raw)", low*toMgPerL, high*toMgPerL)}
	}
	// Hardness and alkalinity both run straight with the share; the target is
	// met where the later of them reaches it.
	reach := func(treated, raw float64) float64 {
		if treated >= target || raw <= treated {
			return 0
		}
		return (target - treated) / (raw - treated)
	}
	hardness := reach(2*(treated.Calcium+treated.Magnesium), 2*(raw.Calcium+raw.Magnesium))
	return min(1, max(hardness, reach(treated.Alkalinity, raw.Alkalinity))), nil
}
