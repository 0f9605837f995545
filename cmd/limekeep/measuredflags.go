package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
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
			return test, ofFlag(err, "--"+quantityFlag(q))
		}
		test.Values = append(test.Values, m)
	}
	return test, nil
}

// quantityFlag names a quantity on the command line.
func quantityFlag(q water.Quantity) string { return strings.ReplaceAll(string(q), " ", "-") }

// parseMeasured reads "12 dH ± 0.5 by drop": a number, a unit, and where given
// a spread and a method.
func parseMeasured(q water.Quantity, text string, method water.Method) (water.Measured, error) {
	m := water.Measured{Quantity: q, Method: method}
	rest := strings.TrimSpace(text)
	if before, how, ok := strings.Cut(rest, " by "); ok {
		parsed, err := water.ParseMethod(strings.TrimSpace(how))
		if err != nil {
			return m, err
		}
		m.Method, rest = parsed, strings.TrimSpace(before)
	}
	if before, spread, ok := strings.Cut(rest, "±"); ok {
		sd, err := record.Number("spread", spread, "a number behind the ±, in the same unit")
		if err != nil {
			return m, err
		}
		m.Spread, rest = sd, strings.TrimSpace(before)
	}
	digits := strings.IndexFunc(rest, func(r rune) bool { return !strings.ContainsRune("+-0123456789.,eE", r) })
	if digits > 0 && strings.ContainsAny(rest[digits-1:digits], "eE") {
		digits--
	}
	if digits < 0 {
		digits = len(rest)
	}
	value, err := figure.Read(rest[:digits])
	if err != nil {
		return m, record.NotANumber(string(q), text, fmt.Sprintf("a number and its unit, such as \"12 %s\"", q.Unit()), err)
	}
	m.Value, m.Unit = value, q.Unit()
	unit := strings.TrimSpace(rest[digits:])
	if unit == "" && q == water.PH {
		return m, nil
	}
	if unit == "" {
		return m, &record.FieldError{Field: string(q), Value: text, Want: "its unit as well, one of " + withUnits(rest[:digits], q)}
	}
	if m.Unit, err = water.ParseUnit(unit); err != nil {
		return m, &record.FieldError{Field: string(q), Value: text, Want: "it in a unit that is known, one of " + withUnits(rest[:digits], q), Cause: err}
	}
	return m, nil
}

// withUnits writes a number with each unit that a quantity may be told in.
func withUnits(number string, q water.Quantity) string {
	var each []string
	for _, unit := range q.Units() {
		each = append(each, fmt.Sprintf("%q", number+" "+string(unit)))
	}
	return strings.Join(each, ", ")
}
