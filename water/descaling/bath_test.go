package descaling

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"limekeep/water"
)

// The molar masses are those of the formulas with IUPAC weights; the doses are
// two moles of acid to one of CaCO3 (100.09 g/mol) by hand, and the trade's
// figures for one proton.
func TestAcidDose(t *testing.T) {
	const h, c, n, o, s = water.MolarMassHydrogen, water.MolarMassCarbon, water.MolarMassNitrogen, water.MolarMassOxygen, water.MolarMassSulfur
	for _, test := range []struct {
		acid  Acid
		molar float64 // of the formula
		want  float64 // g per g CaCO3
	}{
		{Citric, 6*c + 10*h + 8*o, 4.20},    // C6H8O7·H2O
		{Lactic, 3*c + 6*h + 3*o, 1.80},     // C3H6O3
		{Sulfamic, 3*h + n + 3*o + s, 1.94}, // H3NSO3
	} {
		got := test.acid.GramsPerGram()
		if math.Abs(got-test.want) > 0.005 {
			t.Errorf("%s: %.4f g/g, want %.2f", test.acid, got, test.want)
		}
		if byFormula := 2 * test.molar / 100.09; math.Abs(got-byFormula) > 0.001 {
			t.Errorf("%s: %.4f g/g, the formula gives %.4f", test.acid, got, byFormula)
		}
		facts, _ := test.acid.properties()
		plan, err := PlanBaths(test.acid, Vessel{ScaleGrams: 3, BathLitres: 1})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(plan.LeastGramsEach*float64(plan.Count)-3*test.want) > 0.02 {
			t.Errorf("%s: %.3f g take up 3 g of scale, want %.3f", test.acid, plan.LeastGramsEach, 3*test.want)
		}
		if plan.GramsEach < facts.times*plan.LeastGramsEach*(1-1e-12) {
			t.Errorf("%s: %.2f g to weigh, want %g times %.2f", test.acid, plan.GramsEach, facts.times, plan.LeastGramsEach)
		}
	}
	if !math.IsNaN(Acid("vinegar").GramsPerGram()) {
		t.Error("an unknown acid has a dose")
	}
}

// 20 g of CaCO3 are 0.2 mol: 4.8 L of gas at 20 °C, and by the gas law
// 0.2·8.314·293/0.0005 = 9.7 bar in a closed half litre.
func TestGasFromAcid(t *testing.T) {
	if got := CO2Litres(20); math.Abs(got-4.8) > 0.02 {
		t.Errorf("20 g set free %.3f L, want 4.8", got)
	}
	if got := ClosedBar(20, 0.5); math.Abs(got-9.74) > 0.03 {
		t.Errorf("20 g in half a litre come to %.2f bar, want 9.7", got)
	}
}

// A bath in the vessel is never larger than the vessel: of 2 litres asked for, 0.6
// fit, and 20 g are seven baths of them. What is pumped through holds what the
// container does.
func TestBathsFitTheVessel(t *testing.T) {
	v := Vessel{ScaleGrams: 20, BathLitres: 2, Litres: 0.6}
	plan, err := PlanBaths(Citric, v)
	if err != nil || plan.LitresEach != 0.6 || plan.Count != 7 {
		t.Errorf("%d baths of %g litres, %v, want 7 of 0.6", plan.Count, plan.LitresEach, err)
	}
	v.PumpedThrough = true
	plan, err = PlanBaths(Citric, v)
	if err != nil || plan.LitresEach != 2 || plan.Count != 2 {
		t.Errorf("pumped through: %d baths of %g litres, %v, want 2 of 2", plan.Count, plan.LitresEach, err)
	}
}

func TestPlanSplits(t *testing.T) {
	for _, test := range []struct {
		grams, litres float64
		count         int
	}{{5, 1, 1}, {5.01, 1, 2}, {20, 0.5, 8}, {0.1, 20, 1}, {20, 20, 1}} {
		plan, err := PlanBaths(Sulfamic, Vessel{ScaleGrams: test.grams, BathLitres: test.litres})
		if err != nil {
			t.Fatal(err)
		}
		if plan.Count != test.count || plan.LitresEach != test.litres {
			t.Errorf("%g g in %g L: %d baths of %g L, want %d", test.grams, test.litres, plan.Count, plan.LitresEach, test.count)
		}
		if all := plan.ScaleGramsEach * float64(plan.Count); math.Abs(all-test.grams) > 1e-9 {
			t.Errorf("%g g: the baths dissolve %g", test.grams, all)
		}
		long := strings.Contains(strings.Join(plan.Cautions, "\n"), "long job")
		if long != (test.count > manyBaths) {
			t.Errorf("%d baths: long job %v", plan.Count, long)
		}
	}
}

func TestPlanLimits(t *testing.T) {
	for acid, celsius := range map[Acid]float64{Citric: 50, Lactic: 50, Sulfamic: 60} {
		plan, err := PlanBaths(acid, Vessel{ScaleGrams: 4, ThicknessMM: 1, BathLitres: 0.9})
		if err != nil {
			t.Fatal(err)
		}
		if plan.MostCelsius != celsius {
			t.Errorf("%s at %g °C, want %g", acid, plan.MostCelsius, celsius)
		}
		if !strings.Contains(plan.SpentSigns[0], fmt.Sprintf("pH %.1f", plan.DrainPH)) || plan.MostMinutes <= 0 {
			t.Errorf("%s: no telling when it is spent: %q, %g minutes", acid, plan.SpentSigns, plan.MostMinutes)
		}
		if !strings.Contains(plan.Cautions[0], "stays open") {
			t.Errorf("%s: the first caution is %q", acid, plan.Cautions[0])
		}
		citrate := strings.Contains(strings.Join(plan.Cautions, "\n"), "calcium citrate")
		if citrate != (acid == Citric) {
			t.Errorf("%s: caution of calcium citrate %v", acid, citrate)
		}
	}
}

func TestPlanRefuses(t *testing.T) {
	fine := Vessel{ScaleGrams: 4, ThicknessMM: 0.3, BathLitres: 1}
	if _, err := PlanBaths(Citric, fine); err != nil {
		t.Fatal(err)
	}
	for name, test := range map[string]struct {
		change func(*Vessel)
		reason string
	}{
		"aluminium":   {func(d *Vessel) { d.Aluminium = true }, "aluminium"},
		"prohibition": {func(d *Vessel) { d.Prohibition = "do not descale" }, "do not descale"},
		"thick":       {func(d *Vessel) { d.ThicknessMM = 1.01 }, "mm"},
		"much":        {func(d *Vessel) { d.ScaleGrams = 20.1 }, "20.1 g"},
		"flakes":      {func(d *Vessel) { d.CrustOrFlakes = true }, "safety valve"},
	} {
		d := fine
		test.change(&d)
		for _, acid := range Acids() {
			_, err := PlanBaths(acid, d)
			var refusal *RefusalError
			if !errors.As(err, &refusal) {
				t.Errorf("%s, %s: %v, want a refusal", name, acid, err)
				continue
			}
			if len(refusal.Reasons) != 1 || !strings.Contains(refusal.Reasons[0], test.reason) {
				t.Errorf("%s: reasons %q, want one with %q", name, refusal.Reasons, test.reason)
			}
			if !strings.Contains(err.Error(), "book a workshop") {
				t.Errorf("%s: %q does not say what to do", name, err)
			}
		}
	}
	all := Vessel{ScaleGrams: 30, ThicknessMM: 2, BathLitres: 1, Aluminium: true, Prohibition: "no", CrustOrFlakes: true}
	var refusal *RefusalError
	if _, err := PlanBaths(Citric, all); !errors.As(err, &refusal) || len(refusal.Reasons) != 5 {
		t.Errorf("%v: want five reasons", err)
	}
	for name, d := range map[string]Vessel{
		"no scale": {BathLitres: 1}, "NaN scale": {ScaleGrams: math.NaN(), BathLitres: 1},
		"no litres": {ScaleGrams: 1}, "NaN litres": {ScaleGrams: 1, BathLitres: math.NaN()},
		"negative thickness": {ScaleGrams: 1, BathLitres: 1, ThicknessMM: -1},
	} {
		var value *water.ValueError
		if _, err := PlanBaths(Citric, d); !errors.As(err, &value) {
			t.Errorf("%s: %v, want a ValueError", name, err)
		}
	}
	var unknown *AcidError
	if _, err := PlanBaths("vinegar", fine); !errors.As(err, &unknown) || !strings.Contains(err.Error(), "want citric acid") {
		t.Errorf("vinegar: %v, want an AcidError", err)
	}
}

// No bath that could lay down calcium citrate is proposed: not at its end, not
// when it is drained late, at pH 3.5, nor while it is rinsed out with the
// hardest tap water in steps that leave a tenth.
func TestCitricBathsStayClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		grams := rapid.Float64Range(0.1, 20).Draw(t, "grams")
		litres := rapid.Float64Range(0.2, 20).Draw(t, "litres")
		plan, err := PlanBaths(Citric, Vessel{ScaleGrams: grams, BathLitres: litres})
		if err != nil {
			t.Fatal(err)
		}
		if perL := plan.ScaleGramsEach / plan.LitresEach; perL > 5+1e-9 {
			t.Errorf("%g g of scale per litre, want at most 5", perL)
		}
		if plan.GramsEach < 1.5*4.199*plan.ScaleGramsEach {
			t.Errorf("%g g of acid for %g of scale", plan.GramsEach, plan.ScaleGramsEach)
		}
		scale := plan.ScaleGramsEach / 100.09 / litres
		end := CitrateBath{
			CalciumMolPerL: scale + bathCalcium,
			CitrateMolPerL: plan.GramsEach / 210.14 / litres,
			BaseEqPerL:     2*scale + bathAlkalinity,
		}
		if ph := end.PH(); ph > 3.0001 {
			t.Errorf("ends at pH %.3f, want 3 or less", ph)
		}
		if x := end.Index(); x > -2 {
			t.Errorf("index of calcium citrate %.2f at the end, want below -2", x)
		}
		late := end
		more := end.CitrateMolPerL*citrateCharge(3.5) - math.Pow(10, -3.5) - end.BaseEqPerL
		late.CalciumMolPerL += more / 2
		late.BaseEqPerL += more
		if x := late.Index(); x > -0.5 {
			t.Errorf("index %.2f when drained at pH %.2f, want below -0.5", x, late.PH())
		}
		rinse := end
		for range 6 {
			rinse = CitrateBath{
				CalciumMolPerL: rinse.CalciumMolPerL/10 + bathCalcium*0.9,
				CitrateMolPerL: rinse.CitrateMolPerL / 10,
				BaseEqPerL:     rinse.BaseEqPerL/10 + bathAlkalinity*0.9,
			}
			if x := rinse.Index(); x > 0 {
				t.Errorf("index %.2f in the rinse at pH %.2f", x, rinse.PH())
			}
		}
	})
}
