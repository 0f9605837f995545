package inference

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/water"
	"limekeep/water/watertest"
)

func TestJudge(t *testing.T) {
	lab := func(q water.Quantity, v float64) water.Measured {
		return water.Measured{Quantity: q, Value: v, Unit: q.Unit(), Method: water.MethodLaboratory}
	}
	drop := func(q water.Quantity, v float64) water.Measured {
		return water.Measured{Quantity: q, Value: v, Unit: water.GermanDegree, Method: water.MethodDrop}
	}
	type doubt struct {
		Code     DoubtCode
		Quantity water.Quantity
	}
	for _, c := range []struct {
		name   string
		values []water.Measured
		infer  bool // whether the set can be inferred; a test may be judged without
		want   []doubt
		says   []string
	}{
		{"ordinary", inferCases["drops and cell"], true, nil, nil},
		{"full report", inferCases["laboratory"], true, nil, nil},
		{"nitrate above the limit", []water.Measured{drop(water.Hardness, 10), lab(water.Nitrate, 70)}, true,
			[]doubt{{DoubtDrinking, water.Nitrate}}, []string{"70 mg/L", "above 50 mg/L", "2020/2184"}},
		{"acid", []water.Measured{{Quantity: water.PH, Value: 5.8, Unit: water.PHUnit, Method: water.MethodMeter}}, true,
			[]doubt{{DoubtDrinking, water.PH}}, []string{"5.8", "below 6.5"}},
		// Cations 4.24 of hardness, 0.43 of sodium and 0.05 unmeasured potassium;
		// anions 2.00, 0.28, 0.42 and 0.10 unmeasured nitrate: meq/L by hand.
		{"anions missing", []water.Measured{lab(water.Hardness, 212), lab(water.Sodium, 10), lab(water.Alkalinity, 100), lab(water.Chloride, 10), lab(water.Sulfate, 20)}, false,
			[]doubt{{DoubtChargeBalance, water.Hardness}}, []string{"4.72", "2.79", "26 %", "hardness"}},
		{"calcium and magnesium in place of hardness", []water.Measured{lab(water.Calcium, 64.5), lab(water.Magnesium, 12.4), lab(water.Sodium, 10), lab(water.Alkalinity, 100), lab(water.Chloride, 10), lab(water.Sulfate, 20)}, false,
			[]doubt{{DoubtChargeBalance, water.Hardness}}, []string{"4.73", "2.79"}},
		{"conductivity too low", []water.Measured{drop(water.Hardness, 15), drop(water.Alkalinity, 11), {Quantity: water.Conductivity, Value: 300, Unit: water.MicrosiemensPerCm, Method: water.MethodMeter}}, false,
			[]doubt{{DoubtConductivity, water.Conductivity}}, []string{"300 µS/cm", "hardness of 267.7", "alkalinity of 196.3"}},
		{"softened", []water.Measured{drop(water.Hardness, 1), drop(water.Alkalinity, 12)}, true,
			[]doubt{{DoubtAlkalinity, water.Hardness}}, []string{"softener", "214.2", "17.8"}},
		{"softened, sodium known", []water.Measured{drop(water.Hardness, 1), drop(water.Alkalinity, 12), lab(water.Sodium, 100)}, true, nil, nil},
		{"alkalinity a little above hardness", []water.Measured{drop(water.Hardness, 10), drop(water.Alkalinity, 11)}, true, nil, nil},
		{"calcium against hardness", []water.Measured{drop(water.Hardness, 8), lab(water.Calcium, 75)}, true,
			[]doubt{{DoubtFit, water.Hardness}}, []string{"hardness of 8 dH", "measure it again"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			test := water.Test{Values: c.values}
			if err := test.Validate(); err != nil {
				t.Fatal(err)
			}
			var set Set
			if c.infer {
				var err error
				if set, err = FromTest(test, 0, watertest.Uniform(1)); err != nil {
					t.Fatal(err)
				}
			}
			var got []doubt
			var all strings.Builder
			for _, d := range Judge(test, set) {
				got = append(got, doubt{d.Code, d.Quantity})
				all.WriteString(d.Sentence + "\n")
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("%s%s", diff, all.String())
			}
			for _, s := range c.says {
				if !strings.Contains(all.String(), s) {
					t.Errorf("%q is not in: %s", s, all.String())
				}
			}
		})
	}
}
