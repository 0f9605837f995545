package water

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestValidateTest(t *testing.T) {
	good := Measured{Quantity: Hardness, Value: 12, Unit: GermanDegree, Method: MethodDrop}
	change := func(f func(*Measured)) Test {
		m := good
		f(&m)
		return Test{Values: []Measured{m}}
	}
	for _, c := range []struct {
		name string
		test Test
		says []string // what the message must name; nil is no error
	}{
		{"good", Test{Values: []Measured{good}}, nil},
		{"empty", Test{}, []string{"no values"}},
		{"unknown quantity", change(func(m *Measured) { m.Quantity = "mojo" }), []string{"mojo", "hardness"}},
		{"wrong unit", change(func(m *Measured) { m.Unit = MicrosiemensPerCm }), []string{"hardness", "µS/cm", "dH"}},
		{"unknown unit", change(func(m *Measured) { m.Unit = "furlong" }), []string{"furlong", "dH"}},
		{"unknown method", change(func(m *Measured) { m.Method = "nose" }), []string{"nose", "strip"}},
		{"no method", change(func(m *Measured) { m.Method = "" }), []string{"method", "strip"}},
		{"no method but a spread", change(func(m *Measured) { m.Method, m.Spread = "", 1 }), nil},
		{"negative", change(func(m *Measured) { m.Value = -1 }), []string{"hardness, dH", "-1", "0 to 112"}},
		{"absurd", change(func(m *Measured) { m.Value = 1200 }), []string{"hardness, dH", "1200", "0 to 112", "decimal point"}},
		{"not a number", change(func(m *Measured) { m.Value = math.NaN() }), []string{"hardness"}},
		{"infinite", change(func(m *Measured) { m.Value = math.Inf(1) }), []string{"hardness"}},
		{"negative spread", change(func(m *Measured) { m.Spread = -1 }), []string{"spread of hardness"}},
		{"spread not a number", change(func(m *Measured) { m.Spread = math.NaN() }), []string{"spread of hardness"}},
		{"negative drop", change(func(m *Measured) { m.DropSize = -1 }), []string{"drop size of hardness"}},
		{"twice", Test{Values: []Measured{good, good}}, []string{"value 2", "hardness", "once"}},
		{"too hot", Test{Values: []Measured{good}, Celsius: 95}, []string{"temperature", "95"}},
		{"pH of 0", change(func(m *Measured) { *m = Measured{Quantity: PH, Value: 0, Unit: PHUnit, Method: MethodMeter} }), []string{"ph", "3 to 12"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := c.test.Validate()
			if (err == nil) != (c.says == nil) {
				t.Fatalf("error: %v", err)
			}
			for _, s := range c.says {
				if !strings.Contains(err.Error(), s) {
					t.Errorf("%q does not mention %q", err, s)
				}
			}
		})
	}
	if !errors.Is(Test{}.Validate(), ErrEmptyTest) {
		t.Error("an empty test must be ErrEmptyTest")
	}
	var value *ValueError
	if err := change(func(m *Measured) { m.Value = -1 }).Validate(); !errors.As(err, &value) || value.Value != -1 {
		t.Errorf("negative hardness is not a *ValueError: %v", err)
	}
}

func TestTestAsJSON(t *testing.T) {
	test := Test{Celsius: 12, Values: []Measured{{Quantity: FreeChlorine, Value: 0.3, Unit: PPM, Method: MethodDrop, Spread: 0.1, DropSize: 0.2}}}
	data, err := json.Marshal(test)
	if err != nil {
		t.Fatal(err)
	}
	want := `{"values":[{"quantity":"free chlorine","value":0.3,"unit":"ppm","method":"drop","spread":0.1,"drop_size":0.2}],"celsius":12}`
	if string(data) != want {
		t.Errorf("JSON: %s\nwant: %s", data, want)
	}
	var back Test
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(test, back); diff != "" {
		t.Error(diff)
	}
}
