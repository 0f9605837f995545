package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
	"time"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

// readLog reads a whole log in memory.
func readLog(r io.Reader, options useOptions) ([]record.UseRow, error) {
	log, err := openUseFile(r, options)
	if err != nil {
		return nil, err
	}
	var rows []record.UseRow
	for row, err := range log.rows(func(int64) {}) {
		if err != nil {
			return rows, locateRow(log, err)
		}
		rows = append(rows, row)
	}
	return rows, nil
}

func march(day int) record.Date { return record.NewDate(2026, time.March, day) }

func TestReadUseFile(t *testing.T) {
	plain := func(day, minute int) record.UseRow { return record.UseRow{Date: march(day), Minute: minute, Shots: 1} }
	with := func(r record.UseRow, change func(*record.UseRow)) record.UseRow { change(&r); return r }
	tests := []struct {
		name, file string
		want       []record.UseRow
	}{
		{"all columns", "date,time,shots,dose_g,yield_g,seconds,steamed,hot_water_l,grind,drink,beans,note\n2026-03-02,07:40,2,18.2,36,28,1,0.1,4.5,latte,house,\"a, b\"\n",
			[]record.UseRow{{Date: march(2), Minute: 460, Shots: 2, DoseGrams: 18.2, YieldGrams: 36, Seconds: 28, Steamed: 1, HotWaterLitres: 0.1, Grind: "4.5", Drink: "latte", Beans: "house", Note: "a, b"}}},
		{"other names, byte-order mark, line ends of Windows, no end of the last line", "\uFEFFDate-Time;Dose (g);Grind Setting\r\n2026-03-02T07:40:59;18,5;12 clicks\r\n\r\n2026-03-03;18 g;", []record.UseRow{
			with(plain(2, 460), func(r *record.UseRow) { r.DoseGrams, r.Grind = 18.5, "12 clicks" }), with(plain(3, -1), func(r *record.UseRow) { r.DoseGrams = 18 })}},
		{"tabs", "date\tseconds\n2026-03-02\t0:28\n", []record.UseRow{with(plain(2, -1), func(r *record.UseRow) { r.Seconds = 28 })}},
		{"rows of one instant, in and out of order", "date\n2026-03-02 07:40\n2026-03-02 07:40\n2026-03-03\n2026-03-02 07:40\n", []record.UseRow{
			plain(2, 460), with(plain(2, 460), func(r *record.UseRow) { r.Ordinal = 1 }), plain(3, -1), with(plain(2, 460), func(r *record.UseRow) { r.Ordinal = 2 })}},
		{"rows of empty cells, and empty cells too many", "date,shots\n,\n2026-03-02,3,,\n", []record.UseRow{with(plain(2, -1), func(r *record.UseRow) { r.Shots = 3 })}},
		{"days first with dots, whatever the numbers", "date\n2.3.2026\n03.03.26\n", []record.UseRow{plain(2, -1), plain(3, -1)}},
		{"days first, as the last row tells", "date\n2/3/2026 7:40 am\n13/3/2026 12:00 pm\n", []record.UseRow{plain(2, 460), plain(13, 720)}},
		{"months first, as the last row tells", "date\n3/2/2026\n3/31/2026\n", []record.UseRow{plain(2, -1), plain(31, -1)}},
		{"years first with slashes", "date\n2026/03/02\n", []record.UseRow{plain(2, -1)}},
		{"the same number twice", "date\n3/3/2026\n", []record.UseRow{plain(3, -1)}},
		{"quotes around everything, doubled inside, over lines", "\"date\",\"note\"\n\"2026-03-02\",\"\"\"fine\"\"\nand more\"\n", []record.UseRow{with(plain(2, -1), func(r *record.UseRow) { r.Note = "\"fine\"\nand more" })}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := readLog(strings.NewReader(test.file), useOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("-want +got:\n%s", diff)
			}
			// However the bytes come in.
			order := anyOrder
			if strings.Contains(test.file, "/3/2026") || strings.Contains(test.file, "3/31/") {
				return // cannot be looked through twice
			}
			if again, err := readLog(iotest.OneByteReader(strings.NewReader(test.file)), useOptions{order: order}); err != nil || !cmp.Equal(got, again) {
				t.Errorf("byte by byte: %v, %v", again, err)
			}
		})
	}
}

// oddFiles are files that must be refused, with what the message must say.
func oddFiles() []struct{ name, file, want string } {
	utf16le := []byte{0xFF, 0xFE}
	for _, unit := range utf16.Encode([]rune("date,dose\n2026-03-02,18\n")) {
		utf16le = append(utf16le, byte(unit), byte(unit>>8))
	}
	return []struct{ name, file, want string }{
		{"empty", "", `file: nothing is given; give a header row`},
		{"a byte-order mark alone", "\uFEFF", `file: nothing is given; give a header row`},
		{"blank lines alone", "\n\r\n\n", `file: nothing is given; give a header row`},
		{"header only", "date,dose\n", `file: nothing is given; give at least one row below the header`},
		{"header and empty rows only", "date,dose\n,\n", `file: nothing is given; give at least one row below the header`},
		{"UTF-16", string(utf16le), `header: encoding: "UTF-16" cannot be taken; give the file saved as UTF-8`},
		{"UTF-16 without a mark", string(utf16le[2:]), `header: column 1: "a NUL byte" cannot be taken`},
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

// A file that can no longer be read ends the import.
func TestUseFileThatBreaksOff(t *testing.T) {
	broken := errors.New("the disk is gone")
	_, err := readLog(io.MultiReader(strings.NewReader("date\n2026-03-02\n"), iotest.ErrReader(broken)), useOptions{})
	if !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
}

// lineSource is a log of so many rows that is nowhere as a whole.
type lineSource struct {
	rows, given int
	rest        []byte
}

func (l *lineSource) Read(p []byte) (int, error) {
	for len(l.rest) == 0 {
		if l.given == l.rows {
			return 0, io.EOF
		}
		l.rest = shotLines(l.given, l.given+1)
		if l.given == 0 {
			l.rest = append([]byte("date,dose,drink\n"), l.rest...)
		}
		l.given++
	}
	n := copy(p, l.rest)
	l.rest = l.rest[n:]
	return n, nil
}

// Memory does not grow with the file.
func TestReadingStreams(t *testing.T) {
	const rows = 60_000
	heap := func() int64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	log, err := openUseFile(&lineSource{rows: rows}, useOptions{})
	if err != nil {
		t.Fatal(err)
	}
	start, most, n := int64(0), int64(0), 0
	for _, err := range log.rows(func(int64) {}) {
		if err != nil {
			t.Fatal(err)
		}
		switch n++; {
		case n == rows/4:
			start = heap()
		case n%(rows/4) == 0:
			most = max(most, heap())
		}
	}
	if n != rows {
		t.Errorf("%d rows of %d", n, rows)
	}
	// The rows themselves would be 45,000 × some 150 bytes.
	if most-start > 1<<20 {
		t.Errorf("the heap grew by %d bytes", most-start)
	}
}

func TestParseFigure(t *testing.T) {
	for _, test := range []struct {
		text string
		want float64
		ok   bool
	}{
		{"18", 18, true}, {"18.25", 18.25, true}, {"18,25", 18.25, true}, {" 18 g", 18, true}, {"18g", 18, true}, {"18G", 18, true},
		{"0.1", 0.1, true}, {"123456789.123456", 123456789.123456, true}, {"1e2", 100, true}, {"-3", -3, true}, {"+3", 3, true}, {"5.", 5, true}, {".5", 0.5, true},
		{"12345678901234567890", 12345678901234567890, true},
		{"", 0, false}, {"g", 0, false}, {".", 0, false}, {"1.2.3", 0, false}, {"1,2.3", 0, false}, {"0x10", 0, false}, {"inf", 0, false}, {"nan", 0, false}, {"1e999", 0, false}, {"1_000", 0, false}, {"18 s", 0, false},
	} {
		if got, ok := parseFigure([]byte(test.text), "g"); ok != test.ok || ok && got != test.want {
			t.Errorf("%q: %v, %t, want %v, %t", test.text, got, ok, test.want, test.ok)
		}
	}
}

func TestParseClock(t *testing.T) {
	for text, want := range map[string]int{
		"0:00": 0, "7:05": 425, "07:05:59": 425, "23:59:59.999": 1439, "12:00 am": 0, "12:30 AM": 30, "12:00 pm": 720, "1:15 p.m.": 795, "7 pm": 1140, "7.30": 450, "11:59pm": 1439,
		"24:00": -1, "7:60": -1, "0:30 am": -1, "13:00 pm": -1, "7": -1, "": -1, "7:5": -1, "-1:30": -1, "seven": -1, "7:30 xm": -1,
	} {
		got, ok := parseClock([]byte(text))
		if ok != (want >= 0) || ok && got != want {
			t.Errorf("%q: minute %d, %t, want %d", text, got, ok, want)
		}
	}
}

// Whatever the bytes, the reader ends, gives rows that could be kept as far as
// they are valid, and reads the same again.
func FuzzUseFile(f *testing.F) {
	for _, odd := range oddFiles() {
		if len(odd.file) < 1<<12 {
			f.Add([]byte(odd.file))
		}
	}
	f.Add([]byte("\uFEFFDatum;dose\r\n\"2.3.2026 7:40\";\"18,5\"\r\n"))
	f.Add([]byte("date,note\n13/3/2026 1:00 pm,\"a\"\"b\nc\"\n"))
	f.Fuzz(func(t *testing.T, file []byte) {
		rows, err := readLog(bytes.NewReader(file), useOptions{headerOptions: headerOptions{ignore: []string{"*"}}})
		instants := map[[3]int]bool{}
		for _, r := range rows {
			if r.Date <= 0 || r.Minute < -1 || r.Minute > 1439 || r.Ordinal < 0 || r.DoseGrams != r.DoseGrams {
				t.Fatalf("row %+v", r)
			}
			key := [3]int{int(r.Date), r.Minute, r.Ordinal}
			if instants[key] {
				t.Fatalf("two rows are %v", key)
			}
			instants[key] = true
		}
		again, errAgain := readLog(bytes.NewReader(file), useOptions{headerOptions: headerOptions{ignore: []string{"*"}}})
		if diff := cmp.Diff(rows, again); diff != "" {
			t.Fatalf("read otherwise the second time:\n%s", diff)
		}
		if (err == nil) != (errAgain == nil) || err != nil && err.Error() != errAgain.Error() {
			t.Fatalf("%v, then %v", err, errAgain)
		}
		if err == nil && len(rows) == 0 {
			t.Fatal("a file without a row was taken")
		}
	})
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
