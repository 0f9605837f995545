package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"limekeep/schedule/record"
)

// oddFiles are files that must be refused, with what the message must say.
func oddFiles() []struct{ name, file, want string } {
	var utf16le []byte
	for _, unit := range utf16.Encode([]rune("date,dose\n2026-03-02,18\n")) {
		utf16le = append(utf16le, byte(unit), byte(unit>>8))
	}
	manyDays := ""
	for day := record.NewDate(2025, time.September, 1); day < record.NewDate(2026, time.March, 1); day++ {
		manyDays += day.String() + " 07:40,18\n"
	}
	return []struct{ name, file, want string }{
		{"empty", "", `file: nothing is given; give a header row`},
		{"a byte-order mark alone", "\uFEFF", `file: nothing is given; give a header row`},
		{"blank lines alone", "\n\r\n\n", `file: nothing is given; give a header row`},
		{"header only", "date,dose\n", `file: nothing is given; give at least one row below the header`},
		{"header and empty rows only", "date,dose\n,\n", `file: nothing is given; give at least one row below the header`},
		{"a workbook", "PK\x03\x04\x14\x00", `file: "a workbook (xlsx, ods, numbers) or a zip file" cannot be taken; give the table itself, saved or exported as CSV`},
		{"UTF-16 without a mark", string(utf16le), `header: column 1: "a NUL byte" cannot be taken`},
		{"Latin 1", "date,note\n2026-03-02,caf\xe9\n", `row 1: column 2: "\"caf\\xe9\"" cannot be taken; give the file saved as UTF-8`},
		{"a line of 10 MB", "date,note\n2026-03-02,fine\n2026-03-03," + strings.Repeat("x", 10<<20) + "\n", `row 2: row: "more than 64 KiB without an end" cannot be taken`},
		{"a header of 10 MB", strings.Repeat("x", 10<<20), `row: "more than 64 KiB without an end" cannot be taken`},
		{"a quote that never ends", "date,note\n2026-03-02,\"" + strings.Repeat("x\n", 5<<20), `row 1: row: "more than 64 KiB without an end" cannot be taken`},
		{"NUL bytes", "date,dose\n2026-03-02,18\n2026-03-03,1\x008\n", `row 2: column 2: "a NUL byte" cannot be taken`},
		{"a formula", "date,dose\n2026-03-02,=B1*2\n", `row 1: column 2, dose: "=B1*2" cannot be taken; give the value instead of the formula`},
		{"a formula in a note", "date,note\n2026-03-02,\"=HYPERLINK(\"\"x\"\")\"\n", `row 1: column 2, note: "=HYPERLINK(\"x\")" cannot be taken; give the value instead of the formula`},
		{"a formula that failed", "date,dose\n2026-03-02,#DIV/0!\n", `row 1: column 2, dose: "#DIV/0!" cannot be taken; give the value`},
		{"a header twice", "date,dose,Dose (g)\n2026-03-02,18,18\n", `header, column 3: "Dose (g)" cannot be taken; give each column once`},
		{"a missing dose", "date,dose\n2026-03-02,18\n2026-03-02,\n", `row 2: column 2, dose: nothing is given; give the dry coffee in grams`},
		{"a missing date", "dose,date\n18,\n", `row 1: column 2, date: nothing is given; give a day`},
		{"a day that there is not", "date\n2026-02-30\n", `row 1: column 1, date: "2026-02-30" cannot be taken; give a day such as`},
		{"a 25th hour", "date\n2026-03-02 25:10\n", `row 1: column 1, date: "2026-03-02 25:10" cannot be taken; give a time`},
		{"13 in the afternoon", "date,time\n2026-03-02,13:10 pm\n", `row 1: column 2, time: "13:10 pm" cannot be taken; give a time`},
		{"a dose of a kilogram", "date,dose\n2026-03-02,1000\n", `row 1: column 2, dose: "1000" cannot be taken; give 0 to 40 g`},
		{"no number", "date,seconds\n2026-03-02,NaN\n", `row 1: column 2, seconds: "NaN" cannot be taken; give a number of seconds`},
		{"an infinite number", "date,yield\n2026-03-02,1e999\n", `row 1: column 2, yield: "1e999" cannot be taken`},
		{"more milk than shots", "date,shots,steamed\n2026-03-02,1,2\n", `row 1: column 3, steamed: "2" cannot be taken; give no more than the shots`},
		{"a longer row", "date,dose\n2026-03-02,18\n2026-03-03,18,9\n", `row 2: row: "3 cells" cannot be taken; give 2 cells`},
		{"half a quote", "date,note\n2026-03-02,a \"b\" c\n", `row 1: row: "a quote that has no other" cannot be taken`},
		{"an error far down, behind a row of two lines", "date,note\n2026-03-02,\"two\nlines\"\nyesterday,\n", `row 2 (line 4): column 1, date: "yesterday" cannot be taken`},
		{"another sort of date further down", "date\n2026-03-02\n3/4/2026\n", `row 2: column 1, date: "3/4/2026" cannot be taken; give a day written as in the rows before it, or --dates`},
		{"rows twice, far apart", "date,dose\n" + manyDays + manyDays, `rows: "two of the same day and minute, far from each other" cannot be taken; give a file in the order of time`},
		{"a control character", "date,beans\n2026-03-02,\x07bell\n", `row 1: column 2, beans: `},
	}
}

// Each odd file gets one line that says where and what, and nothing is written.
func TestOddUseFiles(t *testing.T) {
	folder := t.TempDir()
	place := filepath.Join(folder, "place.yaml")
	const yaml = `place: {id: corner, name: Corner, zone: Asia/Kolkata}
equipment:
  - {id: tap, bought: 2024-01-10, water_line: {supply: mains}}
  - id: machine
    bought: 2024-01-10
    machine: {setting: home, water_line: tap, vessels: [{id: brew, kind: brew boiler, material: brass}], groups: [{id: g, three_way_valve: true}], habit: {weekday_shots: 2}}
`
	if err := os.WriteFile(place, []byte(yaml), 0o600); err != nil {
		t.Fatal(err)
	}
	command := func(args ...string) (string, error) {
		root := newRoot()
		var out bytes.Buffer
		root.SetOut(&out)
		root.SetErr(&out)
		root.SetArgs(append(args, "--data", filepath.Join(folder, "records.db"), "--today", "2026-04-01"))
		err := root.ExecuteContext(context.Background())
		return out.String(), err
	}
	if _, err := command("setup", place); err != nil {
		t.Fatal(err)
	}
	before, err := command("history")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range oddFiles() {
		t.Run(test.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "odd.csv")
			if err := os.WriteFile(path, []byte(test.file), 0o600); err != nil {
				t.Fatal(err)
			}
			out, err := command("use", "import", path)
			if err == nil {
				t.Fatalf("it was taken: %s", out)
			}
			line := oneLine(err)
			if !strings.HasPrefix(line, path+": "+test.want) {
				t.Errorf("it says %q, want %q", strings.TrimPrefix(line, path+": "), test.want)
			}
			if !strings.HasSuffix(line, "; nothing was written") || len(line) > 600 || out != "" {
				t.Errorf("it says %q, and prints %q", line, out)
			}
		})
	}
	if after, err := command("history"); err != nil || after != before {
		t.Errorf("they left %v\n%s", err, after)
	}
}

// Progress shows on a terminal and nowhere else.
func TestProgress(t *testing.T) {
	var out bytes.Buffer
	quiet := newProgress(&out, 100)
	quiet.last = time.Time{}
	quiet.told(50)
	quiet.end()
	if out.Len() > 0 {
		t.Errorf("into a pipe: %q", out.String())
	}
	shown := &progress{out: &out, size: 2_000_000}
	shown.told(500_000)
	shown.told(600_000) // at once again: not shown
	if got := out.String(); got != "\rreading: 25 % of 2.0 MB " {
		t.Errorf("on a terminal: %q", got)
	}
	shown.end()
	if got := out.String(); !strings.HasSuffix(got, " \r") {
		t.Errorf("it leaves %q", got)
	}
}
