package advice

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/boiler"
	"limekeep/water/equilibrium"
	"limekeep/water/figure"
)

// WaterTable works a table of water analyses out, row by row. Each row is one
// water under named columns, in any order; what is worked out goes into columns
// of its own, behind those of the table. Columns it does not know pass through
// as they are. It is not safe for use by several goroutines at once.
type WaterTable struct {
	solver   *equilibrium.Solver
	header   []string // as it goes out
	cells    int      // how many cells each row comes with
	at       map[string]int
	computed []placedColumn
	absent   []string
	commas   bool        // a decimal comma may stand in this table
	mark     figure.Mark // once a number has shown which
}

// Columns that a table is read from.
const (
	columnMeasuredAt  = "measured_at_c"
	columnPH          = "ph"
	columnAlkalinity  = "alkalinity_mg_kg_caco3"
	columnTemperature = "temperature_c" // that the water is heated to
	// How often over the water is concentrated, CO2 held at that of the air.
	columnConcentration = "concentration_factor"
	// How often over a steam boiler concentrates what it is fed, and whether
	// brucite may form in it.
	columnSteady  = "steady_concentration_factor"
	columnBrucite = "brucite_forms"
)

// amountColumns are the columns of what is dissolved, mg per kg of water.
var amountColumns = []struct {
	name     string
	optional bool   // an absent column counts as 0 in every row
	quantity string // as an error of package water names it
	into     func(*water.Analysis) *float64
}{
	{"ca_mg_kg", false, "calcium", func(a *water.Analysis) *float64 { return &a.CalciumMgPerKg }},
	{"mg_mg_kg", false, "magnesium", func(a *water.Analysis) *float64 { return &a.MagnesiumMgPerKg }},
	{columnAlkalinity, false, "alkalinity", func(a *water.Analysis) *float64 { return &a.AlkalinityMgPerKgCaCO3 }},
	{"na_mg_kg", true, "sodium", func(a *water.Analysis) *float64 { return &a.SodiumMgPerKg }},
	{"k_mg_kg", true, "potassium", func(a *water.Analysis) *float64 { return &a.PotassiumMgPerKg }},
	{"cl_mg_kg", true, "chloride", func(a *water.Analysis) *float64 { return &a.ChlorideMgPerKg }},
	{"so4_mg_kg", true, "sulfate", func(a *water.Analysis) *float64 { return &a.SulfateMgPerKg }},
	{"no3_mg_kg", true, "nitrate", func(a *water.Analysis) *float64 { return &a.NitrateMgPerKg }},
	{"sio2_mg_kg", true, "silica", func(a *water.Analysis) *float64 { return &a.SilicaMgPerKg }},
}

// placedColumn is a computed column and where in the row it goes.
type placedColumn struct {
	tableColumn
	at int
}

// NewWaterTable takes the header of a table. Names are known whatever their
// case. With commas, numbers may be written with a decimal comma; the first
// that is decides for all. A column that is missing, or there twice, is a
// *record.FieldError.
func NewWaterTable(header []string, commas bool) (*WaterTable, error) {
	t := &WaterTable{
		solver: equilibrium.NewSolver(), header: slices.Clone(header), cells: len(header),
		at: map[string]int{}, commas: commas,
	}
	twice := map[string]string{}
	for i, cell := range header {
		name := strings.ToLower(strings.TrimSpace(cell))
		if _, ok := t.at[name]; ok {
			twice[name] = cell
			continue
		}
		t.at[name] = i
	}
	needed := []string{columnMeasuredAt, columnPH, columnTemperature}
	for _, c := range amountColumns {
		switch {
		case !c.optional:
			needed = append(needed, c.name)
		case !t.has(c.name):
			t.absent = append(t.absent, c.name)
		}
	}
	if t.has(columnSteady) {
		needed = append(needed, columnBrucite)
	}
	known := slices.Concat(needed, []string{columnConcentration, columnSteady, columnBrucite})
	for _, c := range amountColumns {
		known = append(known, c.name)
	}
	for _, name := range needed {
		if !t.has(name) {
			return nil, &record.FieldError{Field: "header", Value: strings.Join(header, ","), Want: "a column named " + name}
		}
	}
	columns := slices.Clone(heatedColumns)
	if t.has(columnConcentration) {
		columns = append(columns, concentratedColumns...)
	}
	if t.has(columnSteady) {
		columns = append(columns, steadyColumns...)
	}
	for _, c := range columns {
		known = append(known, c.name)
		at, ok := t.at[c.name]
		if !ok {
			at = len(t.header)
			t.header = append(t.header, c.name)
		}
		t.computed = append(t.computed, placedColumn{c, at})
	}
	for _, name := range known {
		if cell, ok := twice[name]; ok {
			return nil, &record.FieldError{Field: "header", Value: cell, Want: "this column once"}
		}
	}
	return t, nil
}

// Header gives the header of what comes out: the table's own columns, then
// those computed that it did not have.
func (t *WaterTable) Header() []string { return slices.Clone(t.header) }

// Absent lists the columns of what is dissolved that the table does not have,
// and that count as 0 in every row.
func (t *WaterTable) Absent() []string { return slices.Clone(t.absent) }

// Row works one row out. What comes back is as wide as Header: the cells that
// were given, and the computed ones. Where something is wrong the computed
// cells are empty and the error names the column; it then joins a
// *record.FieldError for each bad cell. A mineral that cannot form because a
// constituent is missing altogether has an empty index.
func (t *WaterTable) Row(cells []string) ([]string, error) {
	row := make([]string, len(t.header))
	copy(row, cells[:min(len(cells), t.cells)])
	for _, c := range t.computed {
		row[c.at] = ""
	}
	if len(cells) != t.cells {
		return row, &record.FieldError{Field: "row", Value: fmt.Sprintf("%d cells", len(cells)), Want: fmt.Sprintf("%d, as many as the header has", t.cells)}
	}
	asked, err := t.read(cells)
	if err != nil {
		return row, err
	}
	answer, err := t.work(asked, cells)
	if err != nil {
		return row, err
	}
	for _, c := range t.computed {
		row[c.at] = t.write(c.value(answer), c.decimals)
	}
	return row, nil
}

// tableRow is what a row asks.
type tableRow struct {
	analysis      water.Analysis
	celsius       float64
	concentration float64 // 0: not asked
	steady        float64 // 0: not asked
	brucite       bool
}

// read turns the cells of a row into what they ask.
func (t *WaterTable) read(cells []string) (tableRow, error) {
	var asked tableRow
	var wrong []error
	number := func(name string) float64 {
		value, err := t.parse(name, cells[t.at[name]])
		if err != nil {
			wrong = append(wrong, err)
		}
		return value
	}
	asked.analysis.MeasuredCelsius = number(columnMeasuredAt)
	asked.analysis.PH = number(columnPH)
	for _, c := range amountColumns {
		if t.has(c.name) {
			*c.into(&asked.analysis) = number(c.name)
		}
	}
	asked.celsius = number(columnTemperature)
	factor := func(name string) float64 {
		if !t.has(name) || strings.TrimSpace(cells[t.at[name]]) == "" {
			return 0
		}
		value := number(name)
		if value <= 0 && len(wrong) == 0 {
			wrong = append(wrong, &record.FieldError{Field: name, Value: cells[t.at[name]], Want: "a factor above 0, or nothing"})
		}
		return value
	}
	asked.concentration = factor(columnConcentration)
	if asked.steady = factor(columnSteady); asked.steady != 0 {
		cell := cells[t.at[columnBrucite]]
		switch strings.ToLower(strings.TrimSpace(cell)) {
		case "1", "yes", "true":
			asked.brucite = true
		case "0", "no", "false":
		default:
			wrong = append(wrong, &record.FieldError{Field: columnBrucite, Value: cell, Want: "1 where brucite may form, 0 where it may not"})
		}
	}
	return asked, errors.Join(wrong...)
}

// work asks the solver. cells are for naming what it refuses.
func (t *WaterTable) work(asked tableRow, cells []string) (tableAnswer, error) {
	var answer tableAnswer
	blame := func(column string, err error) error {
		var refused *water.ValueError
		if !errors.As(err, &refused) {
			return fmt.Errorf("%s: %w", column, err)
		}
		if column == "" {
			column = columnOf(refused.Quantity)
		}
		at, ok := t.at[column]
		if !ok {
			return fmt.Errorf("the analysis: %w", err)
		}
		return &record.FieldError{Field: column, Value: cells[at], Want: refused.Want}
	}
	cold, err := t.solver.Speciate(asked.analysis)
	if err != nil {
		return answer, blame("", err)
	}
	if answer.hot, err = t.solver.Equilibrate(cold.Totals, asked.celsius); err != nil {
		return answer, blame(columnTemperature, err)
	}
	if answer.closed, err = t.solver.ClosedPrecipitation(cold.Totals, asked.celsius, 0); err != nil {
		return answer, blame(columnTemperature, err)
	}
	if answer.open, err = t.solver.OpenPrecipitation(cold.Totals, asked.celsius, airLog10PCO2, 0); err != nil {
		return answer, blame(columnTemperature, err)
	}
	if asked.concentration != 0 {
		left, err := t.solver.Evaporate(cold.Totals, asked.celsius, asked.concentration, airLog10PCO2, 0, false)
		if err != nil {
			return answer, blame(columnConcentration, smaller(err))
		}
		answer.concentrated = &left
	}
	if asked.steady != 0 {
		left, err := boiler.Steady(t.solver, cold.Totals, asked.celsius, asked.steady, 0, asked.brucite)
		var refused *water.ValueError
		switch {
		case errors.As(err, &refused) && strings.HasPrefix(refused.Quantity, "temperature"):
			return answer, blame(columnTemperature, &water.ValueError{Want: refused.Want + " °C where " + columnSteady + " is given"})
		case err != nil:
			return answer, blame(columnSteady, smaller(err))
		}
		answer.steady = &left
	}
	return answer, nil
}

// smaller tells apart a factor that is out of range by itself from one that
// makes too strong a brine of the water.
func smaller(err error) error {
	var refused *water.ValueError
	if errors.As(err, &refused) && refused.Quantity != "concentration factor" {
		return &water.ValueError{Want: fmt.Sprintf("a smaller factor: with this one %v", refused)}
	}
	return err
}

// airLog10PCO2 is the pressure of CO2 that open water is at rest with: about
// that of the air, 10^-3.5 atm. The reference tables of package water hold the
// same.
const airLog10PCO2 = -3.5

// columnOf finds the column whose number package water refused.
func columnOf(quantity string) string {
	name, _, _ := strings.Cut(quantity, ",")
	switch name {
	case "temperature of measurement":
		return columnMeasuredAt
	case "pH":
		return columnPH
	}
	for _, c := range amountColumns {
		if c.quantity == name {
			return c.name
		}
	}
	return ""
}

// has tells whether the table came with a column.
func (t *WaterTable) has(name string) bool {
	_, ok := t.at[name]
	return ok
}

// parse reads a number as it is written in this table.
func (t *WaterTable) parse(column, cell string) (float64, error) {
	want := "a number"
	switch {
	case !t.commas:
		t.mark = figure.Point
	case t.mark == figure.Either:
		_, notPoint := figure.Point.Read(cell)
		_, notComma := figure.Comma.Read(cell)
		switch {
		case notPoint == nil && notComma != nil:
			t.mark = figure.Point
		case notComma == nil && notPoint != nil:
			t.mark = figure.Comma
		} // a whole number tells nothing
	}
	if t.commas && t.mark == figure.Comma {
		want = "a number with a decimal comma, as the table's first one has"
	} else if t.commas && t.mark == figure.Point {
		want = "a number with a decimal point, as the table's first one has"
	}
	value, err := t.mark.Read(cell)
	return value, record.NotANumber(column, cell, want, err)
}

// write writes a number as this table does; nothing where there is none.
func (t *WaterTable) write(value float64, decimals int) string {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return ""
	}
	text := figure.Fixed(value, decimals)
	if t.commas && t.mark != figure.Point {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text
}
