package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/schedule/sample/bound"
)

// tableOf works a table out and gives what was written, and what was said.
func tableOf(t testing.TB, in string) (out string, notes []string, err error) {
	t.Helper()
	var w strings.Builder
	err = workWaterTable(context.Background(), strings.NewReader(in), &w, func(n string) { notes = append(notes, n) })
	return w.String(), notes, err
}

// commandResult is what a command said and how it ended.
type commandResult struct {
	out, errs string
	err       error
}

// command runs a command in this process, with no settings but its own flags.
func command(t testing.TB, args ...string) commandResult {
	t.Helper()
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	var out, errs strings.Builder
	root := newRoot()
	root.SetArgs(args)
	root.SetOut(&out)
	root.SetErr(&errs)
	err := root.ExecuteContext(context.Background())
	return commandResult{out.String(), errs.String(), err}
}

const (
	tableHeader = "water,measured_at_c,ph,ca_mg_kg,mg_mg_kg,na_mg_kg,k_mg_kg,alkalinity_mg_kg_caco3,cl_mg_kg,so4_mg_kg,no3_mg_kg,sio2_mg_kg,temperature_c"
	tableRow    = "w001,15,7.99,94.75,19.42,3,3.23,197.0,41.6,63.5,6.6,13.3,93"
)

// TestWaterTableFiles runs the reference tables of package water through the
// command, and holds what comes out to the bytes of what went in wherever
// nothing is worked out. The numbers themselves are held to the reference in
// package schedule.
func TestWaterTableFiles(t *testing.T) {
	for file, answers := range map[string]int{"waters.csv": 11, "concentrated.csv": 4, "steam_boiler.csv": 6} {
		t.Run(file, func(t *testing.T) {
			path := filepath.Join("..", "..", "water", "watertest", "testdata", file)
			in, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			out := filepath.Join(t.TempDir(), "out.csv")
			if got := command(t, "water", "table", path, "--out", out); got.err != nil || got.out != "" || got.errs != "" {
				t.Fatalf("%+v", got)
			}
			written, err := os.ReadFile(out)
			if err != nil {
				t.Fatal(err)
			}
			want, got := strings.Split(string(in), "\n"), strings.Split(string(written), "\n")
			if len(got) != len(want) {
				t.Fatalf("%d lines, want %d", len(got), len(want))
			}
			width := strings.Count(want[0], ",") + 1 - answers
			for i := range want {
				if diff := cmp.Diff(firstCells(want[i], width), firstCells(got[i], width)); diff != "" {
					t.Fatalf("line %d:\n%s", i+1, diff)
				}
				if i > 0 && got[i] != "" && strings.Contains(got[i]+",", ",,") {
					t.Fatalf("line %d has an empty cell: %s", i+1, got[i])
				}
			}
			if !strings.HasPrefix(got[0], strings.TrimSpace(want[0])) {
				t.Errorf("the header %s does not begin with %s", got[0], want[0])
			}
			if diff := cmp.Diff([]string{"out.csv"}, names(t, filepath.Dir(out))); diff != "" {
				t.Errorf("files left behind:\n%s", diff)
			}
		})
	}
}

func firstCells(line string, n int) []string {
	cells := strings.Split(line, ",")
	return cells[:min(n, len(cells))]
}

func names(t testing.TB, folder string) []string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return all
}

func TestWaterTableBadRowsAreNamed(t *testing.T) {
	in := strings.Join([]string{
		tableHeader + ",note",
		tableRow + `,"a ""good"" one, first"`,
		strings.Replace(tableRow, "7.99", "neutral", 1) + ",kept",
		`"w003 in two` + "\n" + `lines` + `"` + strings.TrimPrefix(tableRow, "w001") + ",good",
		"w004,15,7",
		`w005,1"5,7.99`,
		strings.Replace(tableRow, ",93", ",200", 1) + ",kept too",
		tableRow + ",last",
	}, "\n") + "\n"
	out, notes, err := tableOf(t, in)
	var bad *badRowsError
	if !errors.As(err, &bad) || bad.Bad != 4 || bad.Rows != 7 {
		t.Fatalf("got %v, want 4 bad rows of 7", err)
	}
	for i, want := range []string{`row 2: ph: "neutral"`, "row 4: row:", "row 5: row:", `row 6: temperature_c: "200"`} {
		if len(notes) != 4 || !strings.HasPrefix(notes[i], want) || strings.Contains(notes[i], "\n") {
			t.Errorf("note %d of %q does not begin with %q", i, notes, want)
		}
	}
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 8 || len(rows[0]) != 14+11 {
		t.Fatalf("%d rows of %d cells", len(rows), len(rows[0]))
	}
	for i, row := range rows[1:] {
		answered := row[14] != ""
		if want := i == 0 || i == 2 || i == 6; answered != want {
			t.Errorf("row %d has answers: %v", i+1, answered)
		}
	}
	for at, want := range map[[2]int]string{{1, 13}: `a "good" one, first`, {2, 2}: "neutral", {2, 13}: "kept", {3, 0}: "w003 in two\nlines", {4, 0}: "w004", {5, 0}: "w005", {6, 13}: "kept too"} {
		if got := rows[at[0]][at[1]]; got != want {
			t.Errorf("row %d, cell %d is %q, want %q", at[0], at[1], got, want)
		}
	}
	// The same answers, whatever stood between them.
	if diff := cmp.Diff(rows[1][14:], rows[7][14:]); diff != "" {
		t.Error(diff)
	}
}

// What spreadsheets write: a byte order mark, CRLF, semicolons, decimal commas.
func TestWaterTableDialects(t *testing.T) {
	plain, notes, err := tableOf(t, tableHeader+"\n"+tableRow+"\n")
	if err != nil || len(notes) > 0 {
		t.Fatal(err, notes)
	}
	semicolons := func(s string) string { return strings.NewReplacer(",", ";", ".", ",").Replace(s) }
	for _, c := range []struct{ name, in, want string }{
		{"byte order mark", "\uFEFF" + tableHeader + "\n" + tableRow, plain},
		{"CRLF", strings.ReplaceAll(tableHeader+"\n"+tableRow+"\n", "\n", "\r\n"), strings.ReplaceAll(plain, "\n", "\r\n")},
		{"decimal commas", "\uFEFF" + semicolons(tableHeader+"\n"+tableRow+"\n"), semicolons(plain)},
		{"semicolons with points", strings.ReplaceAll(tableHeader+"\n"+tableRow, ",", ";"), strings.ReplaceAll(plain, ",", ";")},
		{"UTF-16", "\xFF\xFE" + strings.Join(strings.Split(tableHeader+"\n"+tableRow+"\n", ""), "\x00") + "\x00", plain},
		{"tabs", strings.ReplaceAll(tableHeader+"\n"+tableRow, ",", "\t"), strings.ReplaceAll(plain, ",", "\t")},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, notes, err := tableOf(t, c.in)
			if err != nil || len(notes) > 0 {
				t.Fatal(err, notes)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestWaterTableCommandErrors(t *testing.T) {
	folder := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	good := file("good.csv", tableHeader+"\n"+tableRow+"\n")
	bad := file("bad.csv", strings.TrimSuffix(tableHeader, ",sio2_mg_kg,temperature_c")+",temperature_c\n"+strings.Replace(strings.Replace(tableRow, ",13.3", "", 1), "94.75", "", 1)+"\n")
	out := file("out.csv", "what was there\n")
	for _, c := range []struct {
		name    string
		args    []string
		err     string
		errs    []string
		written bool
	}{
		{"no file", []string{filepath.Join(folder, "none.csv"), "--out", out}, "none.csv", nil, false},
		{"empty", []string{file("empty.csv", ""), "--out", out}, "a header row", nil, false},
		{"no pH", []string{file("noph.csv", strings.Replace(tableHeader, ",ph", "", 1)+"\n"), "--out", out}, "a column named ph", nil, false},
		{"nowhere to write", []string{good, "--out", filepath.Join(folder, "no", "folder.csv")}, "--out", nil, false},
		{"a bad row", []string{bad, "--out", out}, "1 of 1 rows", []string{"no column sio2_mg_kg: taken as 0", `row 1: ca_mg_kg:`}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := command(t, append([]string{"water", "table"}, c.args...)...)
			if got.err == nil || !strings.Contains(got.err.Error(), c.err) {
				t.Errorf("got %v, want an error with %q", got.err, c.err)
			}
			for _, want := range c.errs {
				if !strings.Contains(got.errs, want) {
					t.Errorf("standard error %q lacks %q", got.errs, want)
				}
			}
			text, err := os.ReadFile(out)
			if err != nil {
				t.Fatal(err)
			}
			if written := string(text) != "what was there\n"; written != c.written {
				t.Errorf("the file reads %q", text)
			}
			for _, name := range names(t, folder) {
				if strings.HasPrefix(name, ".") {
					t.Errorf("%s is left behind", name)
				}
			}
		})
	}
}

// stuck gives a row for ever, until it is told to stop.
type stuck struct{ stop func() }

func (s stuck) Read(p []byte) (int, error) {
	s.stop()
	return copy(p, "\n"+tableRow+"\n"), nil
}

func TestWaterTableStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	in := &bytes.Buffer{}
	in.WriteString(tableHeader)
	err := workWaterTable(ctx, io.MultiReader(in, stuck{cancel}), &bytes.Buffer{}, func(string) {})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want context.Canceled", err)
	}
}

// FuzzWaterTable gives whatever it can think of as a table. What is taken comes
// out as a table of the same rows, all as wide as the header, with numbers or
// nothing in the columns worked out.
func FuzzWaterTable(f *testing.F) {
	for _, in := range []string{
		tableHeader + "\n" + tableRow,
		"\uFEFF" + strings.NewReplacer(",", ";", ".", ",").Replace(tableHeader+"\r\n"+tableRow+"\r\n"),
		tableHeader + ",concentration_factor,steady_concentration_factor,brucite_forms\n" + tableRow + ",20,10,1\n" + tableRow + ",,,\n",
		tableHeader + "\n" + `"w,1",15,"7.99` + "\n",
		tableHeader + "\nw,NaN,inf,-0,1e308,1e-308,0x1p3,,,,,,\n",
		"temperature_c,alkalinity_mg_kg_caco3,mg_mg_kg,ca_mg_kg,ph,measured_at_c\n140,-5000,0,0,2,0\n140,0,0,0,12.5,140\n",
	} {
		f.Add([]byte(in))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		defer bound.Memory(t)()
		var out bytes.Buffer
		notes := 0
		err := workWaterTable(context.Background(), bytes.NewReader(in), &out, func(note string) {
			notes++
			if strings.Contains(note, "\n") {
				t.Errorf("a note of several lines: %q", note)
			}
		})
		var bad *badRowsError
		if err != nil && !errors.As(err, &bad) {
			if out.Len() > 0 {
				t.Fatalf("refused with %v, but %q was written", err, out.Bytes())
			}
			return
		}
		reader := csv.NewReader(&out)
		taken, openErr := csvfile.Open(bytes.NewReader(in))
		if openErr != nil {
			t.Fatal(openErr)
		}
		reader.Comma = rune(taken.Separator())
		rows, readErr := reader.ReadAll()
		if readErr != nil {
			t.Fatalf("what came out cannot be read: %v", readErr)
		}
		if bad != nil && (bad.Bad > bad.Rows || notes < bad.Bad || len(rows) != bad.Rows+1) {
			t.Fatalf("%v, but %d notes and %d rows written", bad, notes, len(rows)-1)
		}
		for i, name := range rows[0] {
			if name != "ph_at_t" && name != "closed_calcite_precipitated_mmol_kg" {
				continue
			}
			for _, row := range rows[1:] {
				if strings.Trim(row[i], "-0123456789.,") != "" {
					t.Fatalf("%s is %q", name, row[i])
				}
			}
		}
	})
}
