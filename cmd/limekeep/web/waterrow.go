package web

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/water"
	"limekeep/water/figure"
)

// measuredRow is a row of the water form, counted from 1: a value with its unit
// and the way it was measured. In those beyond the fixed ones the quantity is
// chosen, too.
type measuredRow int

// fixedRows are the quantities that a home kit measures; freeRows more can be
// chosen; sheetRows stand on a laboratory's sheet.
var fixedRows = [...]water.Quantity{water.Hardness, water.Alkalinity, water.PH, water.Conductivity}

const freeRows = 2

var sheetRows = [...]water.Quantity{water.Calcium, water.Magnesium, water.Sodium, water.Potassium, water.Chloride, water.Sulfate, water.Nitrate, water.Silica}

// measuredRows returns the rows of the form.
func measuredRows() []measuredRow {
	var rows []measuredRow
	for i := range len(fixedRows) + freeRows + len(sheetRows) {
		rows = append(rows, measuredRow(i+1))
	}
	return rows
}

// input returns the name of one of the row's inputs.
func (row measuredRow) input(column string) string { return fmt.Sprintf("%s-%d", column, row) }

// free reports whether the quantity of the row is chosen.
func (row measuredRow) free() bool { return int(row) > len(fixedRows) && !row.onSheet() }

// onSheet reports whether the row is one of a laboratory's sheet.
func (row measuredRow) onSheet() bool { return int(row) > len(fixedRows)+freeRows }

// named is the quantity that the row is always about; empty where it is chosen.
func (row measuredRow) named() water.Quantity {
	switch {
	case row.onSheet():
		return sheetRows[int(row)-len(fixedRows)-freeRows-1]
	case row.free():
		return ""
	}
	return fixedRows[row-1]
}

// counted reports whether the row's quantity is titrated by drops at home, and
// ranged whether strips for it show a range.
func (row measuredRow) counted() bool { return int(row) <= 2 }
func (row measuredRow) ranged() bool  { return int(row) <= 3 }

// field returns the row with what can be chosen in it.
func (row measuredRow) field() form.Field {
	f := form.Field{Label: wording.AnotherValue, Kind: form.RowInput, Folded: true}
	units, methods := water.Units(), allMethods[:]
	unit, method := water.MgPerL, water.MethodLaboratory
	if row.free() {
		quantity := row.choice("quantity", wording.Quantity, "")
		quantity.Choices = []form.Choice{{Label: wording.None}}
		for _, q := range water.Quantities() {
			if !slices.Contains(fixedRows[:], q) {
				quantity.Choices = append(quantity.Choices, form.Choice{Value: string(q), Label: quantityLabel(q)})
			}
		}
		f.Row = append(f.Row, quantity)
	} else {
		q := row.named()
		f.Label, f.Folded = quantityLabel(q), row.onSheet()
		units, methods = q.Units(), methodsOf(q)
		unit, method = units[0], methods[0]
		if row.onSheet() {
			method = water.MethodLaboratory
		}
	}
	inUnit, measuredWith := row.choice("unit", wording.Unit, string(unit)), row.choice("method", wording.MeasuredWith, string(method))
	for _, u := range units {
		low, high := row.bounds(u)
		inUnit.Choices = append(inUnit.Choices, form.Choice{Value: string(u), Label: unitLabel(u), Low: low, High: high})
	}
	for _, m := range methods {
		measuredWith.Choices = append(measuredWith.Choices, form.Choice{Value: string(m), Label: wordsOf(m).label})
	}
	f.Row = append(f.Row, form.Field{Name: row.input("value"), Column: "value", Label: wording.Value, Kind: form.NumberInput}, inUnit, measuredWith)
	if row.ranged() {
		f.Row = append(f.Row, form.Field{Name: row.input("to"), Column: "to", Label: wording.UpToOfAStrip, Kind: form.NumberInput})
	}
	if row.counted() {
		f.Row = append(f.Row, form.Field{Name: row.input("drop"), Column: "drop", Label: wording.OneDropIsWorth, Kind: form.NumberInput})
	}
	return f
}

// bounds are between which figures a water can lie in a unit; empty where the row's
// quantity is chosen.
func (row measuredRow) bounds(unit water.Unit) (low, high string) {
	q := row.named()
	if q == "" {
		return "", ""
	}
	least, most := q.Plausible()
	a, err := q.In(least, unit)
	if err != nil {
		return "", ""
	}
	b, _ := q.In(most, unit) // the unit was found good
	return figure.AtMost(a, 2), figure.AtMost(b, 2)
}

func (row measuredRow) choice(column, label, value string) form.Field {
	return form.Field{Name: row.input(column), Column: column, Label: label, Kind: form.ChoiceInput, Value: value}
}

// quantity returns what the row is about, empty where nothing was chosen.
func (row measuredRow) quantity(s *form.Form) water.Quantity {
	if row.free() {
		return water.Quantity(s.Text(row.input("quantity")))
	}
	return row.named()
}

// readMeasured reads the values of those rows of the water form that hold one.
func readMeasured(s *form.Form) []water.Measured {
	var values []water.Measured
	seen := map[water.Quantity]bool{}
	for _, row := range measuredRows() {
		m, given, column, err := row.read(s)
		if err == nil && given && seen[m.Quantity] {
			column, err = "quantity", errors.New(wording.StandsInAnotherRow(string(m.Quantity)))
			if !row.free() {
				column = "value"
			}
		}
		if err != nil {
			s.Wrong(row.input(column), err)
		} else if given {
			seen[m.Quantity] = true
			values = append(values, m)
		}
	}
	return values
}

// read reads the row's value. Given is false for a row left empty. Where there is
// an error, column tells which of the row's inputs it is about.
func (row measuredRow) read(s *form.Form) (m water.Measured, given bool, column string, err error) {
	text, quantity := s.Text(row.input("value")), row.quantity(s)
	switch {
	case text == "" && (!row.free() || quantity == ""):
		return m, false, "", nil
	case text == "":
		return m, false, "value", errors.New(wording.GiveTheValue)
	case quantity == "":
		return m, false, "quantity", errors.New(wording.ChooseWhatWasMeasured)
	}
	if m.Quantity, err = water.ParseQuantity(string(quantity)); err != nil {
		return m, false, "quantity", err
	}
	if m.Value, err = form.NumberIn(string(m.Quantity), text); err != nil {
		return m, false, "value", err
	}
	if m.Unit, err = water.ParseUnit(s.Text(row.input("unit"))); err != nil {
		return m, false, "unit", err
	}
	if m.Method, err = water.ParseMethod(s.Text(row.input("method"))); err != nil {
		return m, false, "method", err
	}
	if column, err = row.asMade(s, &m); err != nil {
		return m, false, column, err
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

// asMade takes a value as the test was made: drops counted become a value by what one
// drop is worth, and a range of a strip its middle, with the spread of a number that
// lies anywhere in it (uniform: the width over the root of twelve).
func (row measuredRow) asMade(s *form.Form, m *water.Measured) (column string, err error) {
	if row.counted() {
		if text := s.Text(row.input("drop")); text != "" {
			if m.DropSize, err = form.NumberIn(wording.WorthOfADrop, text); err != nil {
				return "drop", err
			}
			if m.DropSize <= 0 || m.Method != water.MethodDrop {
				return "drop", errors.New(wording.WorthOfADropMeans)
			}
			m.Value *= m.DropSize
		}
	}
	if row.ranged() {
		if text := s.Text(row.input("to")); text != "" {
			to, err := form.NumberIn(string(m.Quantity), text)
			if err != nil {
				return "to", err
			}
			if to <= m.Value || m.DropSize > 0 {
				return "to", errors.New(wording.RangeEndsAbove)
			}
			m.Value, m.Spread = (m.Value+to)/2, (to-m.Value)/math.Sqrt(12)
		}
	}
	return "", nil
}
