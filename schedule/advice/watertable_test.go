package advice_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/advice"
	"limekeep/schedule/record"
)

// limit is how far a computed column may lie from the reference tables: the
// larger of an absolute and a relative bound.
type limit struct{ absolute, relative float64 }

// tableLimits holds a limit for every computed column.
var tableLimits = map[string]limit{
	"ph_at_t":                             {0.005, 0},
	"ionic_strength_mol_kg":               {0, 0.005},
	"si_calcite":                          {0.005, 0},
	"si_aragonite":                        {0.005, 0},
	"si_gypsum":                           {0.005, 0},
	"si_anhydrite":                        {0.005, 0},
	"si_sio2_amorphous":                   {0.005, 0},
	"closed_calcite_precipitated_mmol_kg": {0.002, 0},
	"closed_final_ph":                     {0.005, 0},
	"open_pco2_3p5_calcite_precipitated_mmol_kg": {0.005, 0},
	"open_final_ph":                     {0.005, 0},
	"boiler_ph":                         {0.02, 0},
	"boiler_ionic_strength_mol_kg":      {0, 0.01},
	"boiler_calcite_mmol_per_kg_feed":   {0.01, 0},
	"boiler_anhydrite_mmol_per_kg_feed": {0.01, 0},
	"steady_log10_pco2_atm":             {0.03, 0},
	"steady_ph":                         {0.03, 0},
	"steady_ionic_strength_mol_kg":      {0, 0.01},
	"steady_calcite_mmol_per_kg_feed":   {0.01, 0.02},
	"steady_anhydrite_mmol_per_kg_feed": {0.01, 0.02},
	"steady_brucite_mmol_per_kg_feed":   {0.01, 0.02},
}

// readTable reads a reference table of package water: 36 invented waters worked
// out with USGS PHREEQC 3.8.9 and its database phreeqc.dat, brucite from
// wateq4f.dat.
func readTable(t testing.TB, file string) (header []string, rows [][]string) {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "water", "watertest", "testdata", file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return all[0], all[1:]
}

// TestWaterTableReference gives each reference table without its answers, its
// columns in another order and with one of our own, and holds the answers to the
// table.
func TestWaterTableReference(t *testing.T) {
	for _, file := range []struct {
		name    string
		rows    int
		answers int // columns in the file that are worked out
	}{
		{"waters.csv", 252, 11},
		{"concentrated.csv", 432, 4},
		{"steam_boiler.csv", 432, 6},
	} {
		t.Run(file.name, func(t *testing.T) {
			header, rows := readTable(t, file.name)
			if len(rows) != file.rows {
				t.Fatalf("%d rows, want %d", len(rows), file.rows)
			}
			// Every eleventh column, from the last on.
			inputs := len(header) - file.answers
			order := make([]int, inputs)
			for i := range order {
				order[i] = (inputs - 1 + 11*i) % inputs
			}
			if distinct := slices.Compact(slices.Sorted(slices.Values(order))); len(distinct) != inputs {
				t.Fatalf("the order %v leaves columns out", order)
			}
			shuffle := func(cells []string, extra string) []string {
				var out []string
				for _, i := range order {
					out = append(out, cells[i])
				}
				return slices.Insert(out, 3, extra)
			}
			table, err := advice.NewWaterTable(shuffle(header, "Remark"), false)
			if err != nil {
				t.Fatal(err)
			}
			out := table.Header()
			compared := 0
			for n, cells := range rows {
				given := shuffle(cells, fmt.Sprintf("row, %d", n))
				got, err := table.Row(given)
				if err != nil {
					t.Fatalf("row %d: %v", n+1, err)
				}
				if diff := cmp.Diff(given, got[:len(given)]); diff != "" {
					t.Fatalf("row %d: the cells given changed:\n%s", n+1, diff)
				}
				for i := inputs; i < len(header); i++ {
					column := header[i]
					at := slices.Index(out, column)
					if at < 0 {
						t.Fatalf("no column %s in %v", column, out)
					}
					want, got := cells[i], got[at]
					if len(got)-strings.IndexByte(got, '.') != len(want)-strings.IndexByte(want, '.') {
						t.Fatalf("row %d: %s is written %q, the reference %q: other decimals", n+1, column, got, want)
					}
					within(t, fmt.Sprintf("row %d: %s", n+1, column), got, want, tableLimits[column])
					compared++
				}
			}
			if compared != file.rows*file.answers {
				t.Fatalf("compared %d cells, want %d", compared, file.rows*file.answers)
			}
		})
	}
}

// within fails the test where a written number is too far from the one wanted.
func within(t testing.TB, where, got, want string, l limit) {
	t.Helper()
	if l == (limit{}) {
		t.Fatalf("%s: no limit is known", where)
	}
	x, errX := strconv.ParseFloat(got, 64)
	y, errY := strconv.ParseFloat(want, 64)
	if errX != nil || errY != nil || !(math.Abs(x-y) <= max(l.absolute, l.relative*math.Abs(y))) {
		t.Errorf("%s: got %s, want %s", where, got, want)
	}
}

// firstWater is the first row of the reference tables at 93 °C, without silica.
var (
	firstHeader = []string{"water", "measured_at_c", "ph", "ca_mg_kg", "mg_mg_kg", "na_mg_kg", "k_mg_kg", "alkalinity_mg_kg_caco3", "cl_mg_kg", "so4_mg_kg", "no3_mg_kg", "temperature_c"}
	firstWater  = []string{"w001", "15", "7.99", "94.75", "19.42", "3", "3.23", "197.0", "41.6", "63.5", "6.6", "93"}
)

// changed gives the first water with some cells of its own. A column that it
// does not have is added.
func changed(cells ...string) (header, row []string) {
	header, row = slices.Clone(firstHeader), slices.Clone(firstWater)
	for i := 0; i < len(cells); i += 2 {
		at := slices.Index(header, cells[i])
		if at < 0 {
			header, row = append(header, cells[i]), append(row, cells[i+1])
			continue
		}
		row[at] = cells[i+1]
	}
	return header, row
}

// cellOf finds a cell by its column.
func cellOf(t testing.TB, table *advice.WaterTable, row []string, column string) string {
	t.Helper()
	at := slices.Index(table.Header(), column)
	if at < 0 {
		t.Fatalf("no column %s", column)
	}
	return row[at]
}

func TestWaterTableHeader(t *testing.T) {
	without := func(name string) []string {
		return slices.DeleteFunc(slices.Clone(firstHeader), func(c string) bool { return c == name })
	}
	for _, c := range []struct {
		name   string
		header []string
		want   string // in the error
	}{
		{"no pH", without("ph"), "a column named ph"},
		{"no calcium", without("ca_mg_kg"), "a column named ca_mg_kg"},
		{"no magnesium", without("mg_mg_kg"), "a column named mg_mg_kg"},
		{"no alkalinity", without("alkalinity_mg_kg_caco3"), "a column named alkalinity_mg_kg_caco3"},
		{"no temperature of the test", without("measured_at_c"), "a column named measured_at_c"},
		{"no temperature to heat to", without("temperature_c"), "a column named temperature_c"},
		{"a boiler that does not say of brucite", append(without(""), "steady_concentration_factor"), "a column named brucite_forms"},
		{"calcium twice", append(without(""), "Ca_mg_kg"), "this column once"},
		{"an answer twice", append(without(""), "si_calcite", "si_calcite"), "this column once"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := advice.NewWaterTable(c.header, false)
			var field *record.FieldError
			if !errors.As(err, &field) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want a field error with %q", err, c.want)
			}
		})
	}
	// Two columns of the owner's may well have one name.
	if _, err := advice.NewWaterTable(append(without(""), "note", "note"), false); err != nil {
		t.Error(err)
	}
}

func TestWaterTableAbsentColumnsAreZero(t *testing.T) {
	bare := []string{"temperature_c", "alkalinity_mg_kg_caco3", "mg_mg_kg", "ca_mg_kg", "PH", " measured_at_c "}
	table, err := advice.NewWaterTable(bare, false)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"na_mg_kg", "k_mg_kg", "cl_mg_kg", "so4_mg_kg", "no3_mg_kg", "sio2_mg_kg"}
	if diff := cmp.Diff(want, table.Absent()); diff != "" {
		t.Errorf("absent columns (-want +got):\n%s", diff)
	}
	got, err := table.Row([]string{"93", "197", "19.42", "94.75", "7.99", "15"})
	if err != nil {
		t.Fatal(err)
	}
	full, err := advice.NewWaterTable(append(slices.Clone(bare), want...), false)
	if err != nil {
		t.Fatal(err)
	}
	zeros, err := full.Row([]string{"93", "197", "19.42", "94.75", "7.99", "15", "0", "0", "0", "0", "0", "0"})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(zeros[len(bare)+len(want):], got[len(bare):]); diff != "" {
		t.Errorf("zeros and absent columns differ:\n%s", diff)
	}
	// There is no sulfate, so there is nothing to say of gypsum.
	for column, empty := range map[string]bool{"si_gypsum": true, "si_anhydrite": true, "si_sio2_amorphous": true, "si_calcite": false} {
		if cell := cellOf(t, table, got, column); (cell == "") != empty {
			t.Errorf("%s is %q", column, cell)
		}
	}
}

func TestWaterTableBadRows(t *testing.T) {
	for _, c := range []struct {
		name  string
		cells []string
		field string // of the error
		want  string // in the error
	}{
		{"text", []string{"ph", "seven"}, "ph", `"seven"`},
		{"nothing", []string{"na_mg_kg", " "}, "na_mg_kg", "a number"},
		{"not a number", []string{"mg_mg_kg", "NaN"}, "mg_mg_kg", "a number"},
		{"a comma where points are", []string{"ca_mg_kg", "94,75"}, "ca_mg_kg", "a number"},
		{"negative", []string{"cl_mg_kg", "-1"}, "cl_mg_kg", "0 to"},
		{"pH of no water", []string{"ph", "13.5"}, "ph", "2 to 12.5"},
		{"too hot to test", []string{"measured_at_c", "150"}, "measured_at_c", "0 to 140"},
		{"too hot to heat to", []string{"temperature_c", "141"}, "temperature_c", "0 to 140"},
		{"too cold to heat to", []string{"temperature_c", "-1"}, "temperature_c", "0 to 140"},
		{"alkalinity that its pH forbids", []string{"ph", "11.5", "alkalinity_mg_kg_caco3", "10"}, "alkalinity_mg_kg_caco3", "at least"},
		{"factor of zero", []string{"concentration_factor", "0"}, "concentration_factor", "above 0"},
		{"negative factor", []string{"concentration_factor", "-2"}, "concentration_factor", "above 0"},
		{"factor out of range", []string{"concentration_factor", "1500"}, "concentration_factor", "0.01 to 1000"},
		{"factor that makes a brine", []string{"concentration_factor", "900"}, "concentration_factor", "a smaller factor"},
		{"factor that is none", []string{"concentration_factor", "x"}, "concentration_factor", "a number"},
		{"steam boiler below boiling", []string{"temperature_c", "93", "steady_concentration_factor", "3", "brucite_forms", "0"}, "temperature_c", "100 to 140"},
		{"steam boiler that dilutes", []string{"temperature_c", "120", "steady_concentration_factor", "0.5", "brucite_forms", "0"}, "steady_concentration_factor", "1 to 1000"},
		{"steam boiler that makes a brine", []string{"temperature_c", "120", "steady_concentration_factor", "900", "brucite_forms", "0"}, "steady_concentration_factor", "a smaller factor"},
		{"brucite that may perhaps form", []string{"temperature_c", "120", "steady_concentration_factor", "3", "brucite_forms", "maybe"}, "brucite_forms", "1 where"},
		{"brucite left open", []string{"temperature_c", "120", "steady_concentration_factor", "3", "brucite_forms", ""}, "brucite_forms", "1 where"},
	} {
		t.Run(c.name, func(t *testing.T) {
			header, cells := changed(c.cells...)
			table, err := advice.NewWaterTable(header, false)
			if err != nil {
				t.Fatal(err)
			}
			row, err := table.Row(cells)
			var field *record.FieldError
			if !errors.As(err, &field) || field.Field != c.field || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want an error of %s with %q", err, c.field, c.want)
			}
			if diff := cmp.Diff(append(slices.Clone(cells), make([]string, len(table.Header())-len(cells))...), row); diff != "" {
				t.Errorf("the row is not as given with empty answers:\n%s", diff)
			}
		})
	}
	t.Run("all of a row's bad cells", func(t *testing.T) {
		header, cells := changed("ph", "x", "ca_mg_kg", "y")
		table, err := advice.NewWaterTable(header, false)
		if err != nil {
			t.Fatal(err)
		}
		_, err = table.Row(cells)
		if err == nil || !strings.Contains(err.Error(), "ph:") || !strings.Contains(err.Error(), "ca_mg_kg:") {
			t.Errorf("got %v, want both columns named", err)
		}
	})
	t.Run("another number of cells", func(t *testing.T) {
		table, err := advice.NewWaterTable(firstHeader, false)
		if err != nil {
			t.Fatal(err)
		}
		for _, cells := range [][]string{nil, firstWater[:5], append(slices.Clone(firstWater), "more")} {
			row, err := table.Row(cells)
			if err == nil || len(row) != len(table.Header()) {
				t.Errorf("%d cells: got a row of %d and %v", len(cells), len(row), err)
			}
		}
	})
}

// A row that leaves a factor empty asks nothing of a boiler, also where the file
// has an old answer there.
func TestWaterTableOverwritesAndLeavesEmpty(t *testing.T) {
	header, cells := changed("si_calcite", "9.9999", "concentration_factor", "", "boiler_ph", "9.9999", "steady_concentration_factor", "", "brucite_forms", "1")
	table, err := advice.NewWaterTable(header, false)
	if err != nil {
		t.Fatal(err)
	}
	row, err := table.Row(cells)
	if err != nil {
		t.Fatal(err)
	}
	if out := table.Header(); slices.Index(out, "si_calcite") != slices.Index(header, "si_calcite") {
		t.Errorf("si_calcite moved: %v", out)
	}
	// The reference has silica in this water; it pairs with neither calcium nor
	// carbonate.
	reference, rows := readTable(t, "waters.csv")
	at := slices.IndexFunc(rows, func(r []string) bool { return r[0] == "w001" && r[slices.Index(reference, "temperature_c")] == "93" })
	within(t, "si_calcite", cellOf(t, table, row, "si_calcite"), rows[at][slices.Index(reference, "si_calcite")], limit{absolute: 0.005})
	for _, column := range []string{"boiler_ph", "boiler_calcite_mmol_per_kg_feed", "steady_ph", "steady_brucite_mmol_per_kg_feed"} {
		if cell := cellOf(t, table, row, column); cell != "" {
			t.Errorf("%s is %q, want nothing", column, cell)
		}
	}
}

func TestWaterTableDecimalCommas(t *testing.T) {
	comma := func(cells []string) []string {
		out := slices.Clone(cells)
		for i := 1; i < len(out); i++ {
			out[i] = strings.Replace(out[i], ".", ",", 1)
		}
		return out
	}
	plain, err := advice.NewWaterTable(firstHeader, false)
	if err != nil {
		t.Fatal(err)
	}
	want, err := plain.Row(firstWater)
	if err != nil {
		t.Fatal(err)
	}
	table, err := advice.NewWaterTable(firstHeader, true)
	if err != nil {
		t.Fatal(err)
	}
	got, err := table.Row(comma(firstWater))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(comma(want), got); diff != "" {
		t.Errorf("with commas (-want +got):\n%s", diff)
	}
	// Once commas are known a point may part thousands: it is not guessed at.
	_, mixed := changed("ca_mg_kg", "1.234")
	if _, err := table.Row(mixed); err == nil || !strings.Contains(err.Error(), "decimal comma") {
		t.Errorf("a point among commas: got %v", err)
	}
	points, err := advice.NewWaterTable(firstHeader, true)
	if err != nil {
		t.Fatal(err)
	}
	if got, err = points.Row(firstWater); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("with points (-want +got):\n%s", diff)
	}
}
