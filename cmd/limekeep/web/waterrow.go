package web

import (
	"errors"
	"fmt"
	"slices"

	"limekeep/water"
)

// measuredRow is a row of the water form, counted from 1: a value with its unit
// and the way it was measured. In those beyond the fixed ones the quantity is
// chosen, too.
type measuredRow int

// fixedRows are the quantities that a home kit measures; freeRows more can be
// chosen.
var fixedRows = [...]water.Quantity{water.Hardness, water.Alkalinity, water.PH, water.Conductivity}

const freeRows = 2

// measuredRows returns the rows of the form.
func measuredRows() []measuredRow {
	var rows []measuredRow
	for i := range len(fixedRows) + freeRows {
		rows = append(rows, measuredRow(i+1))
	}
	return rows
}

// input returns the name of one of the row's inputs.
func (row measuredRow) input(column string) string { return fmt.Sprintf("%s-%d", column, row) }

// free reports whether the quantity of the row is chosen.
func (row measuredRow) free() bool { return int(row) > len(fixedRows) }

// field returns the row with what can be chosen in it.
func (row measuredRow) field() field {
	f := field{Label: "Another value", Kind: rowInput}
	units, methods := water.Units(), allMethods[:]
	unit, method := water.MgPerL, water.MethodLaboratory
	if row.free() {
		quantity := row.choice("quantity", "Quantity", "")
		quantity.Choices = []choice{{Label: "none"}}
		for _, q := range water.Quantities() {
			if !slices.Contains(fixedRows[:], q) {
				quantity.Choices = append(quantity.Choices, choice{Value: string(q), Label: quantityLabel(q)})
			}
		}
		f.Row = append(f.Row, quantity)
	} else {
		q := fixedRows[row-1]
		f.Label = quantityLabel(q)
		units, methods = q.Units(), methodsOf(q)
		unit, method = units[0], methods[0]
	}
	inUnit, measuredWith := row.choice("unit", "Unit", string(unit)), row.choice("method", "Measured with", string(method))
	for _, u := range units {
		inUnit.Choices = append(inUnit.Choices, choice{Value: string(u), Label: unitLabel(u)})
	}
	for _, m := range methods {
		measuredWith.Choices = append(measuredWith.Choices, choice{Value: string(m), Label: methodLabel(m)})
	}
	f.Row = append(f.Row, field{Name: row.input("value"), Column: "value", Label: "Value", Kind: numberInput}, inUnit, measuredWith)
	return f
}

func (row measuredRow) choice(column, label, value string) field {
	return field{Name: row.input(column), Column: column, Label: label, Kind: choiceInput, Value: value}
}

// quantity returns what the row is about, empty where nothing was chosen.
func (row measuredRow) quantity(s *form) water.Quantity {
	if row.free() {
		return water.Quantity(s.text(row.input("quantity")))
	}
	return fixedRows[row-1]
}

// readMeasured reads the values of those rows of the water form that hold one.
func readMeasured(s *form) []water.Measured {
	var values []water.Measured
	seen := map[water.Quantity]bool{}
	for _, row := range measuredRows() {
		m, given, column, err := row.read(s)
		if err == nil && given && seen[m.Quantity] {
			column, err = "quantity", fmt.Errorf("%s stands in another row already; write a repeat down as a test of its own", m.Quantity)
			if !row.free() {
				column = "value"
			}
		}
		if err != nil {
			s.wrong(row.input(column), err)
		} else if given {
			seen[m.Quantity] = true
			values = append(values, m)
		}
	}
	return values
}

// read reads the row's value. Given is false for a row left empty. Where there is
// an error, column tells which of the row's inputs it is about.
func (row measuredRow) read(s *form) (m water.Measured, given bool, column string, err error) {
	text, quantity := s.text(row.input("value")), row.quantity(s)
	switch {
	case text == "" && (!row.free() || quantity == ""):
		return m, false, "", nil
	case text == "":
		return m, false, "value", errors.New("another value: give the value, or choose no quantity")
	case quantity == "":
		return m, false, "quantity", errors.New("another value: choose what was measured, or clear the value")
	}
	if m.Quantity, err = water.ParseQuantity(string(quantity)); err != nil {
		return m, false, "quantity", err
	}
	if m.Value, err = numberIn(string(m.Quantity), text); err != nil {
		return m, false, "value", err
	}
	if m.Unit, err = water.ParseUnit(s.text(row.input("unit"))); err != nil {
		return m, false, "unit", err
	}
	if m.Method, err = water.ParseMethod(s.text(row.input("method"))); err != nil {
		return m, false, "method", err
	}
	err = m.Validate()
	var unit *water.UnitError
	var method *water.MethodError
	switch {
	case errors.As(err, &unit):
		column = "unit"
	case errors.As(err, &method):
		column = "method"
	default:
		column = "value"
	}
	return m, err == nil, column, err
}
