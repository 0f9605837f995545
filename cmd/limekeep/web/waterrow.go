package web

import (
	"errors"
	"fmt"
	"net/url"
	"strings"

	"limekeep/water"
)

// waterRow is one row of the water form: a value with its unit and the way it
// was measured, as filled in.
type waterRow struct {
	Number   int // from 1
	Label    string
	Quantity water.Quantity // of a fixed row, or as chosen in a free one
	Free     bool           // the quantity is chosen
	Choices  []choice       // quantities of a free row
	Value    string
	Units    []choice
	Methods  []choice
}

// fixedRows are the quantities that a home kit measures; freeRows more can be
// chosen.
var fixedRows = [...]water.Quantity{water.Hardness, water.Alkalinity, water.PH, water.Conductivity}

const freeRows = 2

// Name returns the name of one of the row's inputs.
func (row waterRow) Name(input string) string { return fmt.Sprintf("%s-%d", input, row.Number) }

// emptyRows returns the rows of a form nobody has filled in yet.
func emptyRows() []waterRow {
	rows, _ := readRows(url.Values{}, problems{})
	return rows
}

// readRows reads the rows of a form, and the values of those that hold one.
func readRows(filled url.Values, wrong problems) ([]waterRow, []water.Measured) {
	var rows []waterRow
	var values []water.Measured
	seen := map[water.Quantity]bool{}
	for i := range len(fixedRows) + freeRows {
		row := waterRow{Number: i + 1, Free: i >= len(fixedRows)}
		if !row.Free {
			row.Quantity = fixedRows[i]
		} else {
			row.Quantity = water.Quantity(filled.Get(row.Name("quantity")))
		}
		row.offer(filled)
		m, given, input, err := row.measured(filled)
		if err == nil && given && seen[m.Quantity] {
			input, err = "quantity", fmt.Errorf("%s stands in another row already; write a repeat down as a test of its own", m.Quantity)
			if !row.Free {
				input = "value"
			}
		}
		if err != nil {
			wrong.add(row.Name(input), err)
		} else if given {
			seen[m.Quantity] = true
			values = append(values, m)
		}
		rows = append(rows, row)
	}
	return rows, values
}

// measured reads the row's value. Given is false for a row left empty. Where
// there is an error, input tells which of the row's inputs it is about.
func (row *waterRow) measured(filled url.Values) (m water.Measured, given bool, input string, err error) {
	text := strings.TrimSpace(row.Value)
	switch {
	case text == "" && (!row.Free || row.Quantity == ""):
		return m, false, "", nil
	case text == "":
		return m, false, "value", errors.New("another value: give the value, or choose no quantity")
	case row.Quantity == "":
		return m, false, "quantity", errors.New("another value: choose what was measured, or clear the value")
	}
	if m.Quantity, err = water.ParseQuantity(string(row.Quantity)); err != nil {
		return m, false, "quantity", err
	}
	if m.Value, err = numberIn(string(m.Quantity), text); err != nil {
		return m, false, "value", err
	}
	if m.Unit, err = water.ParseUnit(filled.Get(row.Name("unit"))); err != nil {
		return m, false, "unit", err
	}
	if m.Method, err = water.ParseMethod(filled.Get(row.Name("method"))); err != nil {
		return m, false, "method", err
	}
	err = m.Validate()
	var unit *water.UnitError
	var method *water.MethodError
	switch {
	case errors.As(err, &unit):
		input = "unit"
	case errors.As(err, &method):
		input = "method"
	default:
		input = "value"
	}
	return m, err == nil, input, err
}

// offer fills in what can be chosen in the row, and what was.
func (row *waterRow) offer(filled url.Values) {
	row.Value = filled.Get(row.Name("value"))
	units, methods := water.Units(), allMethods[:]
	unit, method := string(water.MgPerL), string(water.MethodLaboratory)
	if row.Free {
		row.Label = "Another value"
		for _, q := range water.Quantities() {
			if label := quantityLabel(q); !isFixed(q) {
				row.Choices = append(row.Choices, choice{Value: string(q), Label: label, Selected: q == row.Quantity})
			}
		}
	} else {
		row.Label = quantityLabel(row.Quantity)
		units, methods = row.Quantity.Units(), methodsOf(row.Quantity)
		unit, method = string(units[0]), string(methods[0])
	}
	if chosen := filled.Get(row.Name("unit")); chosen != "" {
		unit = chosen
	}
	if chosen := filled.Get(row.Name("method")); chosen != "" {
		method = chosen
	}
	for _, u := range units {
		row.Units = append(row.Units, choice{Value: string(u), Label: unitLabel(u), Selected: string(u) == unit})
	}
	for _, m := range methods {
		row.Methods = append(row.Methods, choice{Value: string(m), Label: methodLabel(m), Selected: string(m) == method})
	}
}

func isFixed(q water.Quantity) bool {
	for _, f := range fixedRows {
		if f == q {
			return true
		}
	}
	return false
}
