package descaling

import (
	"fmt"
	"math"
	"testing"
)

// At a pH equal to a pKa the two forms are equal, and far above all three the
// charge is three: the definition of the constants.
func TestCitrateForms(t *testing.T) {
	one, two, three := citrateForms(4.76)
	if math.Abs(one-two) > 1e-12 {
		t.Errorf("at pK2 %.4f H2Cit- and %.4f HCit-2", one, two)
	}
	if none := 1 - one - two - three; none < 0 || none > one {
		t.Errorf("%.4f H3Cit at pK2", none)
	}
	if _, two, three = citrateForms(6.40); math.Abs(two-three) > 1e-12 {
		t.Errorf("at pK3 %.4f HCit-2 and %.4f Cit-3", two, three)
	}
	if c := citrateCharge(12); math.Abs(c-3) > 1e-4 {
		t.Errorf("charge %.4f at pH 12, want 3", c)
	}
}

// 0.1 mol/L of citric acid in pure water has pH 2.08 (handbooks give about 2.1):
// [H+]² = 10^-3.13·(0.1 - [H+]) by hand. The sodium salt has, without activity
// coefficients, the pH of a weak base: (14 + 6.40 + log 0.1)/2 = 9.70.
func TestCitratePH(t *testing.T) {
	if ph := (CitrateBath{CitrateMolPerL: 0.1}).PH(); math.Abs(ph-2.08) > 0.01 {
		t.Errorf("0.1 mol/L: pH %.3f, want 2.08", ph)
	}
	if ph := (CitrateBath{CitrateMolPerL: 0.1, BaseEqPerL: 0.3}).PH(); math.Abs(ph-9.70) > 0.01 {
		t.Errorf("0.1 mol/L of the sodium salt: pH %.3f, want 9.70", ph)
	}
}

// Water with 0.95 g/L of calcium citrate is saturated by definition of the
// product, but for the little HCit-2 it holds.
func TestCitrateSaturation(t *testing.T) {
	n := 0.95 / 570.5
	if x := (CitrateBath{CalciumMolPerL: 3 * n, CitrateMolPerL: 2 * n, BaseEqPerL: 6 * n}).Index(); math.Abs(x) > 0.02 {
		t.Errorf("index %.3f, want 0", x)
	}
}

// Dosed on three protons, 1.40 g/g, the bath has just the composition of
// tricalcium citrate and must be far above saturation; dosed on one it is not.
func TestThreeProtonsLayDownCitrate(t *testing.T) {
	const scale = 5 / 100.09
	three := CitrateBath{CalciumMolPerL: scale, CitrateMolPerL: 5 * 1.40 / 210.14, BaseEqPerL: 2 * scale}
	if ratio := three.CalciumMolPerL / three.CitrateMolPerL; math.Abs(ratio-1.5) > 0.005 {
		t.Errorf("calcium to citrate %.3f, want 3 to 2", ratio)
	}
	if x := three.Index(); x < 3 {
		t.Errorf("three protons: index %.2f, want above 3", x)
	}
	one := three
	one.CitrateMolPerL = 5 * 1.5 * 4.2 / 210.14
	if x := one.Index(); x > -1 {
		t.Errorf("one proton and half as much again: index %.2f, want below -1", x)
	}
	if ph := one.PH(); ph < 3.2 || ph > 3.5 {
		t.Errorf("one proton and half as much again: pH %.2f by hand 3.13 + log(0.65/0.35) = 3.4", ph)
	}
}

func TestCitricFor(t *testing.T) {
	for _, base := range []float64{0, 0.005, 0.1} {
		b := CitrateBath{CitrateMolPerL: citricFor(3, base), BaseEqPerL: base}
		if ph := b.PH(); math.Abs(ph-3) > 1e-6 {
			t.Errorf("%g eq/L: pH %.6f, want 3", base, ph)
		}
	}
}

// ExamplePlanBaths plans for 4 g of scale in a boiler of 0.8 litres.
func ExamplePlanBaths() {
	plan, err := PlanBaths(Citric, Vessel{ScaleGrams: 4, ThicknessMM: 0.3, BathLitres: 0.8})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d bath of %.1f L: %.0f g of %s (the scale takes up %.1f), below %.0f °C, drained at pH %.1f\n",
		plan.Count, plan.LitresEach, plan.GramsEach, plan.Acid, plan.LeastGramsEach, plan.MostCelsius, plan.DrainPH)
	// Output: 1 bath of 0.8 L: 41 g of citric acid (the scale takes up 16.8), below 50 °C, drained at pH 3.0
}
