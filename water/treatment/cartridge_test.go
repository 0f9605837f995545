package treatment

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// A maker states 1000 L at 10 °dH, that is 3.566 meq/L: 1000 L of that water
// use the cartridge up, at 20 °dH 500 L, with a fifth going round 1250 L.
func TestCartridgeCapacity(t *testing.T) {
	hard := func(degrees float64) water.Totals { // half as much alkalinity again as hardness
		meq := degrees * 0.35664e-3
		return water.Totals{Calcium: 0.4 * meq, Magnesium: 0.1 * meq, Alkalinity: 1.5 * meq, Carbon: 1.5 * meq, Sodium: 0.5 * meq}
	}
	for _, c := range []Cartridge{{Kind: Softener}, {Kind: Decarboniser}, {Kind: MixedExchanger, HydrogenShare: 0.6}} {
		c.RatedLitres, c.RatedMeqPerLitre = 1000, 3.5664
		watertest.Near(t, string(c.Kind)+": capacity, meq", c.CapacityMeq(), 3566.4, 1e-9)
		watertest.Near(t, string(c.Kind)+": used at 10 °dH", c.Used(hard(10), 1000), 1, 1e-9)
		watertest.Near(t, string(c.Kind)+": used at 20 °dH", c.Used(hard(20), 500), 1, 1e-9)
		c.BypassShare = 0.2
		watertest.Near(t, string(c.Kind)+": used with bypass", c.Used(hard(10), 1250), 1, 1e-9)
		if err := c.Validate(); err != nil {
			t.Error(err)
		}
	}
	// A decarboniser takes only what goes with alkalinity.
	gypsum := water.Totals{Calcium: 0.002, Sulfate: 0.0015, Alkalinity: 0.001, Carbon: 0.001}
	c := Cartridge{Kind: Decarboniser, RatedLitres: 100, RatedMeqPerLitre: 1}
	watertest.Near(t, "used by gypsum water", c.Used(gypsum, 100), 1, 1e-9)
	for _, kind := range []CartridgeKind{SedimentFilter, CarbonFilter} {
		c := Cartridge{Kind: kind}
		if c.Used(gypsum, 1e6) != 0 || c.Treat(gypsum, 0.5) != gypsum || c.Exchanges() {
			t.Errorf("%s changes ions", kind)
		}
	}
}

// By hand, for water of 1.5 mmol/L Ca, 0.5 mmol/L Mg and 3 meq/L of alkalinity:
// behind a softener 4 mmol/L of sodium more, behind a decarboniser hardness 1
// and alkalinity 0, behind half and half 2 meq/L of either less alkalinity and
// more sodium.
func TestTreatByHand(t *testing.T) {
	raw := water.Totals{Calcium: 1.5e-3, Magnesium: 0.5e-3, Sodium: 1e-3, Alkalinity: 3e-3, Carbon: 3.2e-3, Chloride: 1e-3, Sulfate: 0.5e-3}
	for _, test := range []struct {
		name                                       string
		cartridge                                  Cartridge
		used                                       float64
		calcium, magnesium, sodium, alkalinityMeqL float64
	}{
		{"softener", Cartridge{Kind: Softener}, 0, 0, 0, 5, 3},
		{"softener, a quarter round it", Cartridge{Kind: Softener, BypassShare: 0.25}, 0, 0.375, 0.125, 4, 3},
		{"softener at its capacity", Cartridge{Kind: Softener}, 1, 0.75, 0.25, 3, 3},
		{"softener spent", Cartridge{Kind: Softener}, 2, 1.5, 0.5, 1, 3},
		{"decarboniser", Cartridge{Kind: Decarboniser}, 0, 0.375, 0.125, 1, 0},
		{"decarboniser, a third round it", Cartridge{Kind: Decarboniser, BypassShare: 1.0 / 3}, 0, 0.75, 0.25, 1, 1},
		{"mixed", Cartridge{Kind: MixedExchanger, HydrogenShare: 0.5}, 0, 0, 0, 3, 1},
		{"mixed at its capacity", Cartridge{Kind: MixedExchanger, HydrogenShare: 0.5}, 1, 0.75, 0.25, 2, 2},
	} {
		got := test.cartridge.Treat(raw, test.used)
		watertest.Near(t, test.name+": calcium", 1000*got.Calcium, test.calcium, 1e-9)
		watertest.Near(t, test.name+": magnesium", 1000*got.Magnesium, test.magnesium, 1e-9)
		watertest.Near(t, test.name+": sodium", 1000*got.Sodium, test.sodium, 1e-9)
		watertest.Near(t, test.name+": alkalinity", 1000*got.Alkalinity, test.alkalinityMeqL, 1e-9)
	}
}

// A share of what a fresh exchanger takes is a cartridge with a bypass.
func TestSharesAgree(t *testing.T) {
	raw := water.Totals{Calcium: 1.5e-3, Magnesium: 0.5e-3, Sodium: 1e-3, Alkalinity: 3e-3, Carbon: 3.2e-3, Chloride: 2e-3}
	watertest.Near(t, "sodium behind a softener", exchange(raw, 0, 0.75).Sodium, Cartridge{Kind: Softener, BypassShare: 0.25}.Treat(raw, 0).Sodium, 1e-12)
	watertest.Near(t, "alkalinity behind a decarboniser", exchange(raw, 1, 0.75).Alkalinity, 0.75e-3, 1e-12)
	if got := exchange(water.Totals{Sodium: 1e-3, Alkalinity: 1e-3, Carbon: 1e-3}, 1, 1); got.Alkalinity != 1e-3 {
		t.Errorf("a decarboniser took alkalinity from water without hardness: %+v", got)
	}
}

// Whatever the cartridge and its age, carbon, anions and silica pass, charge is
// kept and nothing goes below zero.
func TestTreatConserves(t *testing.T) {
	s := equilibrium.NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		raw := watertest.Solve(t, s.Speciate, watertest.Draw(t)).Totals
		c := Cartridge{
			Kind:          rapid.SampledFrom([]CartridgeKind{SedimentFilter, CarbonFilter, Softener, Decarboniser, MixedExchanger}).Draw(t, "kind"),
			HydrogenShare: rapid.Float64Range(0, 1).Draw(t, "hydrogen"),
			BypassShare:   rapid.Float64Range(0, 1).Draw(t, "bypass"),
		}
		got := c.Treat(raw, rapid.Float64Range(0, 2).Draw(t, "used"))
		if got.Carbon != raw.Carbon || got.Chloride != raw.Chloride || got.Sulfate != raw.Sulfate || got.Nitrate != raw.Nitrate || got.Silica != raw.Silica {
			t.Errorf("%+v became %+v", raw, got)
		}
		if d := got.ChargeBalance() - raw.ChargeBalance(); math.Abs(d) > 1e-15 {
			t.Errorf("charge changed by %g eq/kg", d)
		}
		if got.Calcium < 0 || got.Magnesium < 0 || got.Alkalinity < -1e-15 {
			t.Errorf("below zero: %+v", got)
		}
		if got.Calcium > raw.Calcium || got.Sodium < raw.Sodium || got.Alkalinity > raw.Alkalinity {
			t.Errorf("the wrong way: %+v became %+v", raw, got)
		}
	})
}

// What an exchanger takes from fresh to spent is its capacity.
func TestBreakthroughTakesCapacity(t *testing.T) {
	taken := 0.0
	const step = 1e-4
	for used := step / 2; used < 3; used += step {
		b := Breakthrough(used)
		if b < 0 || b > 1 || b < Breakthrough(used-step) {
			t.Fatalf("%g breaks through at %g", b, used)
		}
		taken += step * (1 - b)
	}
	watertest.Near(t, "taken", taken, 1, 1e-6)
	watertest.Near(t, "fresh", Breakthrough(0), 0, 1e-6)
	watertest.Near(t, "at the capacity", Breakthrough(1), 0.5, 1e-12)
}

// Behind a hydrogen cartridge that leaves a fifth of the alkalinity the pH is,
// by hand, that of the carbonic acid set free: pK1 + log(HCO3-/CO2), with pK1 =
// 6.35 at 25 °C (Plummer and Busenberg 1982, Geochim. Cosmochim. Acta 46, 1011).
func TestDecarbonisedIsAcid(t *testing.T) {
	s := equilibrium.NewSolver()
	raw, err := s.Speciate(water.Analysis{MeasuredCelsius: 25, PH: 7.5, CalciumMgPerKg: 60, MagnesiumMgPerKg: 12, AlkalinityMgPerKgCaCO3: 150, ChlorideMgPerKg: 35})
	if err != nil {
		t.Fatal(err)
	}
	fresh, err := s.Equilibrate(exchange(raw.Totals, 1, 0.8), 25)
	if err != nil {
		t.Fatal(err)
	}
	hco3 := fresh.Totals.Alkalinity
	co2 := fresh.Totals.Carbon - hco3
	watertest.Near(t, "pH behind the cartridge", fresh.PH, 6.35+math.Log10(hco3/co2), 0.06)
	if fresh.PH > raw.PH-1 {
		t.Errorf("pH %.2f behind, %.2f before", fresh.PH, raw.PH)
	}
	last := fresh.PH
	c := Cartridge{Kind: Decarboniser, BypassShare: 0.2}
	for _, used := range []float64{0.8, 1, 1.2, 1.6} {
		worn, err := s.Equilibrate(c.Treat(raw.Totals, used), 25)
		if err != nil {
			t.Fatal(err)
		}
		if worn.PH <= last {
			t.Errorf("pH %.3f when %g is used, want above %.3f", worn.PH, used, last)
		}
		last = worn.PH
	}
	watertest.Near(t, "pH behind a spent one", last, raw.PH, 0.01)
}

func TestChlorinePassed(t *testing.T) {
	c := Cartridge{Kind: CarbonFilter, BypassShare: 0.1}
	watertest.Near(t, "fresh", c.ChlorinePassed(0), 0.1, 1e-6)
	watertest.Near(t, "at its litres", c.ChlorinePassed(1), 0.55, 1e-9)
	watertest.Near(t, "softener", Cartridge{Kind: Softener}.ChlorinePassed(0), 1, 0)
}

// Every target that can be met must be met by the share found.
func TestBlendMeetsTarget(t *testing.T) {
	s := equilibrium.NewSolver()
	rapid.Check(t, func(t *rapid.T) {
		raw := watertest.Solve(t, s.Speciate, watertest.Draw(t)).Totals
		c := Cartridge{Kind: MixedExchanger, HydrogenShare: rapid.Float64Range(0, 1).Draw(t, "hydrogen")}
		treated := c.Treat(raw, 0)
		low, high := treated.CarbonateHardness(), raw.CarbonateHardness()
		target := low + (high-low)*rapid.Float64Range(0, 1).Draw(t, "target")
		share, err := BlendFor(treated, raw, target)
		if err != nil {
			t.Fatal(err)
		}
		blend, err := water.Mix(treated, raw, share)
		if err != nil {
			t.Fatal(err)
		}
		if got := blend.CarbonateHardness(); math.Abs(got-target) > 1e-12 {
			t.Errorf("share %g gives %g eq/kg, want %g", share, got, target)
		}
		c.BypassShare = share
		if got := c.Treat(raw, 0).CarbonateHardness(); math.Abs(got-target) > 1e-9 {
			t.Errorf("bypass %g gives %g eq/kg, want %g", share, got, target)
		}
	})
}

func TestTreatmentRefuses(t *testing.T) {
	raw := water.Totals{Calcium: 1e-3, Alkalinity: 2e-3, Carbon: 2e-3}
	for name, err := range map[string]error{
		"bypass":          Cartridge{Kind: Softener, BypassShare: 1.1, RatedLitres: 1, RatedMeqPerLitre: 1}.Validate(),
		"no litres":       Cartridge{Kind: Softener, RatedMeqPerLitre: 1}.Validate(),
		"no hardness":     Cartridge{Kind: Decarboniser, RatedLitres: 1}.Validate(),
		"hydrogen":        Cartridge{Kind: MixedExchanger, HydrogenShare: math.NaN(), RatedLitres: 1, RatedMeqPerLitre: 1}.Validate(),
		"target too high": blendError(raw, 3e-3),
		"target too low":  blendError(raw, -1e-3),
		"NaN target":      blendError(raw, math.NaN()),
	} {
		var value *water.ValueError
		if !errors.As(err, &value) {
			t.Errorf("%s: %v, want a ValueError", name, err)
		}
	}
	if err := (Cartridge{Kind: CarbonFilter}).Validate(); err != nil {
		t.Errorf("a carbon filter without a size: %v", err)
	}
}

func blendError(raw water.Totals, target float64) error {
	_, err := BlendFor(exchange(raw, 1, 1), raw, target)
	return err
}

// ExampleBlendFor sets the bypass of a decarboniser for 70 mg/L CaCO3 of
// carbonate hardness (1.4 meq/L) with raw water of 3.5: by hand 1.4/3.5.
func ExampleBlendFor() {
	raw := water.Totals{Calcium: 2e-3, Alkalinity: 3.5e-3, Carbon: 3.7e-3, Chloride: 0.5e-3}
	share, err := BlendFor(exchange(raw, 1, 1), raw, 1.4e-3)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("bypass %.0f %%\n", 100*share)
	// Output: bypass 40 %
}

// The table is as near to the curve itself as it says, and lets no less through where
// more is used.
func TestBreakthroughNear(t *testing.T) {
	last := 0.0
	for i := range 30_000 {
		used := float64(i)/10_000 - 0.2
		near := BreakthroughNear(used)
		if off := math.Abs(near - Breakthrough(used)); !(off <= 1e-9) {
			t.Fatalf("at %v of the capacity it is %g off", used, off)
		}
		if near < last || near > 1 {
			t.Fatalf("at %v of the capacity it lets %v through, %v before", used, near, last)
		}
		last = near
	}
}
