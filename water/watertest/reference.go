package watertest

import (
	"embed"
	"encoding/csv"
	"strconv"
	"testing"

	"limekeep/water"
)

// tables were computed with USGS PHREEQC: see testdata/README.md.
//
//go:embed testdata/*.csv
var tables embed.FS

// Row is one line of a table under testdata, by column name.
type Row struct {
	Name   string
	column map[string]float64
}

// At returns the figure in a column, and fails the test where there is none.
func (r Row) At(t testing.TB, column string) float64 {
	t.Helper()
	v, ok := r.column[column]
	if !ok {
		t.Fatalf("no column %q", column)
	}
	return v
}

// Read reads a table of testdata; the first column is a name if it is
// called water.
func Read(t testing.TB, file string) []Row {
	t.Helper()
	f, err := tables.Open("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(lines) < 2 {
		t.Fatalf("%s holds no rows", file)
	}
	var rows []Row
	for _, line := range lines[1:] {
		row := Row{column: map[string]float64{}}
		for i, cell := range line {
			if lines[0][i] == "water" {
				row.Name = cell
				continue
			}
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatalf("%s: %v", file, err)
			}
			row.column[lines[0][i]] = v
		}
		rows = append(rows, row)
	}
	return rows
}

// Analysis reads the water that a row of the tables begins with.
func (r Row) Analysis(t testing.TB) water.Analysis {
	t.Helper()
	return water.Analysis{
		MeasuredCelsius:        r.At(t, "measured_at_c"),
		PH:                     r.At(t, "ph"),
		CalciumMgPerKg:         r.At(t, "ca_mg_kg"),
		MagnesiumMgPerKg:       r.At(t, "mg_mg_kg"),
		SodiumMgPerKg:          r.At(t, "na_mg_kg"),
		PotassiumMgPerKg:       r.At(t, "k_mg_kg"),
		AlkalinityMgPerKgCaCO3: r.At(t, "alkalinity_mg_kg_caco3"),
		ChlorideMgPerKg:        r.At(t, "cl_mg_kg"),
		SulfateMgPerKg:         r.At(t, "so4_mg_kg"),
		NitrateMgPerKg:         r.At(t, "no3_mg_kg"),
		SilicaMgPerKg:          r.At(t, "sio2_mg_kg"),
	}
}

// Deviations keeps the largest deviation seen of each column, to be logged.
type Deviations map[string]float64

// Check fails the test where got is further than limit from want.
func (d Deviations) Check(t testing.TB, where, column string, got, want, limit float64) {
	t.Helper()
	diff := got - want
	if diff < 0 {
		diff = -diff
	}
	if !(diff <= limit) { // also for NaN
		t.Errorf("%s: %s is %.6g, want %.6g within %.2g", where, column, got, want, limit)
	}
	if diff > d[column] {
		d[column] = diff
	}
}
