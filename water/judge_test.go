package water

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestJudge(t *testing.T) {
	lab := func(q Quantity, v float64) Measured {
		return Measured{Quantity: q, Value: v, Unit: q.Unit(), Method: MethodLaboratory}
	}
	drop := func(q Quantity, v float64) Measured {
		return Measured{Quantity: q, Value: v, Unit: GermanDegree, Method: MethodDrop}
	}
	type doubt struct {
		Code     DoubtCode
		Quantity Quantity
	}
	for _, c := range []struct {
		name   string
		values []Measured
		infer  bool // whether the set can be inferred; a test may be judged without
		want   []doubt
		says   []string
	}{
		{"ordinary", inferCases["drops and cell"], true, nil, nil},
		{"full report", inferCases["laboratory"], true, nil, nil},
		{"nitrate above the limit", []Measured{drop(Hardness, 10), lab(Nitrate, 70)}, true,
			[]doubt{{DoubtDrinking, Nitrate}}, []string{"70 mg/L", "above 50 mg/L", "2020/2184"}},
		{"acid", []Measured{{Quantity: PH, Value: 5.8, Unit: PHUnit, Method: MethodMeter}}, true,
			[]doubt{{DoubtDrinking, PH}}, []string{"5.8", "below 6.5"}},
		// Cations 4.24 of hardness, 0.43 of sodium and 0.05 unmeasured potassium;
		// anions 2.00, 0.28, 0.42 and 0.10 unmeasured nitrate: meq/L by hand.
		{"anions missing", []Measured{lab(Hardness, 212), lab(Sodium, 10), lab(Alkalinity, 100), lab(Chloride, 10), lab(Sulfate, 20)}, false,
			[]doubt{{DoubtChargeBalance, Hardness}}, []string{"4.72", "2.79", "26 %", "hardness"}},
		{"calcium and magnesium in place of hardness", []Measured{lab(Calcium, 64.5), lab(Magnesium, 12.4), lab(Sodium, 10), lab(Alkalinity, 100), lab(Chloride, 10), lab(Sulfate, 20)}, false,
			[]doubt{{DoubtChargeBalance, Hardness}}, []string{"4.73", "2.79"}},
		{"conductivity too low", []Measured{drop(Hardness, 15), drop(Alkalinity, 11), {Quantity: Conductivity, Value: 300, Unit: MicrosiemensPerCm, Method: MethodMeter}}, false,
			[]doubt{{DoubtConductivity, Conductivity}}, []string{"300 µS/cm", "hardness of 267.7", "alkalinity of 196.3"}},
		{"softened", []Measured{drop(Hardness, 1), drop(Alkalinity, 12)}, true,
			[]doubt{{DoubtAlkalinity, Hardness}}, []string{"softener", "214.2", "17.8"}},
		{"softened, sodium known", []Measured{drop(Hardness, 1), drop(Alkalinity, 12), lab(Sodium, 100)}, true, nil, nil},
		{"alkalinity a little above hardness", []Measured{drop(Hardness, 10), drop(Alkalinity, 11)}, true, nil, nil},
		{"calcium against hardness", []Measured{drop(Hardness, 8), lab(Calcium, 75)}, true,
			[]doubt{{DoubtFit, Hardness}}, []string{"hardness of 8 dH", "measure it again"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			test := Test{Values: c.values}
			if err := test.Validate(); err != nil {
				t.Fatal(err)
			}
			var set Set
			if c.infer {
				var err error
				if set, err = Infer(test, 0, keyedUniform(1)); err != nil {
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
