package water

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// referenceRow is one line of a table under testdata, by column name.
type referenceRow struct {
	name   string
	column map[string]float64
}

func (r referenceRow) at(t testing.TB, column string) float64 {
	t.Helper()
	v, ok := r.column[column]
	if !ok {
		t.Fatalf("no column %q", column)
	}
	return v
}

// readReference reads a table of testdata; the first column is a name if it is
// called water.
func readReference(t testing.TB, file string) []referenceRow {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", file))
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
	var rows []referenceRow
	for _, line := range lines[1:] {
		row := referenceRow{column: map[string]float64{}}
		for i, cell := range line {
			if lines[0][i] == "water" {
				row.name = cell
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

// analysis reads the water that a row of the tables begins with.
func (r referenceRow) analysis(t testing.TB) Analysis {
	t.Helper()
	return Analysis{
		MeasuredCelsius:        r.at(t, "measured_at_c"),
		PH:                     r.at(t, "ph"),
		CalciumMgPerKg:         r.at(t, "ca_mg_kg"),
		MagnesiumMgPerKg:       r.at(t, "mg_mg_kg"),
		SodiumMgPerKg:          r.at(t, "na_mg_kg"),
		PotassiumMgPerKg:       r.at(t, "k_mg_kg"),
		AlkalinityMgPerKgCaCO3: r.at(t, "alkalinity_mg_kg_caco3"),
		ChlorideMgPerKg:        r.at(t, "cl_mg_kg"),
		SulfateMgPerKg:         r.at(t, "so4_mg_kg"),
		NitrateMgPerKg:         r.at(t, "no3_mg_kg"),
		SilicaMgPerKg:          r.at(t, "sio2_mg_kg"),
	}
}

// deviations keeps the largest deviation seen of each column, to be logged.
type deviations map[string]float64

// check fails the test where got is further than limit from want.
func (d deviations) check(t testing.TB, where, column string, got, want, limit float64) {
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
