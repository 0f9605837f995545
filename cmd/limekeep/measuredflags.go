package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"limekeep/water"
)

// measuredFlags are the flags that hold the values of one water test.
type measuredFlags struct {
	values  map[water.Quantity]*string
	method  *string
	celsius *float64
}

// newMeasuredFlags adds a flag for each quantity, and those for how it was
// measured.
func newMeasuredFlags(flags *pflag.FlagSet) measuredFlags {
	m := measuredFlags{
		values:  map[water.Quantity]*string{},
		method:  flags.String("method", string(water.MethodDrop), "how it was measured: strip, drop, meter or laboratory"),
		celsius: new(float64),
	}
	numberFlag(flags, m.celsius, "celsius", "temperature of the sample, °C (default: unknown)")
	for _, q := range water.Quantities() {
		m.values[q] = flags.String(quantityFlag(q), "", fmt.Sprintf("%s, in %s", q, q.Unit()))
	}
	return m
}

// test reads the flags as a water test; it holds no values where none was given.
func (f measuredFlags) test() (water.Test, error) {
	test := water.Test{Celsius: *f.celsius}
	usual, err := water.ParseMethod(*f.method)
	if err != nil {
		return test, fmt.Errorf("--method: %w", err)
	}
	for _, q := range water.Quantities() {
		if *f.values[q] == "" {
			continue
		}
		m, err := parseMeasured(q, *f.values[q], usual)
		if err != nil {
			return test, fmt.Errorf("--%s: %w", quantityFlag(q), err)
		}
		test.Values = append(test.Values, m)
	}
	return test, nil
}
