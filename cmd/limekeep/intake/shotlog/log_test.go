package shotlog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
	"limekeep/schedule/sample/bound"
)

// readLog reads a whole log in memory.
func readLog(r io.Reader, options Options) ([]record.UseRow, error) {
	log, err := Open(r, options)
	if err != nil {
		return nil, err
	}
	var rows []record.UseRow
	for row, err := range log.Rows(func(int64) {}) {
		if err != nil {
			return rows, log.Locate(err)
		}
		rows = append(rows, row)
	}
	return rows, nil
}

func march(day int) record.Date { return record.NewDate(2026, time.March, day) }

func TestReadLog(t *testing.T) {
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
			got, err := readLog(strings.NewReader(test.file), Options{Doses: EachShot})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("-want +got:\n%s", diff)
			}
			// However the bytes come in.
			order := AnyOrder
			if strings.Contains(test.file, "/3/2026") || strings.Contains(test.file, "3/31/") {
				return // cannot be looked through twice
			}
			if again, err := readLog(iotest.OneByteReader(strings.NewReader(test.file)), Options{Order: order, Doses: EachShot}); err != nil || !cmp.Equal(got, again) {
				t.Errorf("byte by byte: %v, %v", again, err)
			}
		})
	}
}

// A file that can no longer be read ends the import.
func TestLogThatBreaksOff(t *testing.T) {
	broken := errors.New("the disk is gone")
	_, err := readLog(io.MultiReader(strings.NewReader("date\n2026-03-02\n"), iotest.ErrReader(broken)), Options{})
	if !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
}

// shotLine writes a line of a log. Invented.
func shotLine(n int) []byte {
	day, i := record.NewDate(2021, 2, 1)+record.Date(n/600), n%600
	return fmt.Appendf(nil, "%s %02d:%02d,18.%d,espresso\n", day, 7+i/60, i%60, n%10)
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
		l.rest = shotLine(l.given)
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
	log, err := Open(&lineSource{rows: rows}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	start, most, n := int64(0), int64(0), 0
	for _, err := range log.Rows(func(int64) {}) {
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

// Numbers of cells, with their unit, where the file shows nothing of its mark.
func TestNumbers(t *testing.T) {
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
		var f Log
		if got, err := f.grams(bytes.TrimSpace([]byte(test.text)), mostDoseGrams); (err == nil) != test.ok || test.ok && got != test.want {
			t.Errorf("%q: %v, %v, want %v, %t", test.text, got, err, test.want, test.ok)
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
func FuzzLog(f *testing.F) {
	for _, odd := range oddLogs() {
		f.Add([]byte(odd.file))
	}
	f.Add([]byte("\uFEFFDatum;dose\r\n\"2.3.2026 7:40\";\"18,5\"\r\n"))
	f.Add([]byte("date,note\n13/3/2026 1:00 pm,\"a\"\"b\nc\"\n"))
	f.Fuzz(func(t *testing.T, file []byte) {
		defer bound.Memory(t)()
		piped, errPiped := readLog(io.MultiReader(bytes.NewReader(file)), Options{Ignore: []string{"*"}})
		rows, err := readLog(bytes.NewReader(file), Options{Ignore: []string{"*"}})
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
		again, errAgain := readLog(bytes.NewReader(file), Options{Ignore: []string{"*"}})
		if diff := cmp.Diff(rows, again); diff != "" {
			t.Fatalf("read otherwise the second time:\n%s", diff)
		}
		if (err == nil) != (errAgain == nil) || err != nil && err.Error() != errAgain.Error() {
			t.Fatalf("%v, then %v", err, errAgain)
		}
		// Through a pipe a file is read alike or not at all, but for times of midnight,
		// which a home is asked about.
		if err == nil && errPiped == nil {
			for i := range rows {
				if piped[i].Minute == 0 && rows[i].Minute < 0 {
					return
				}
			}
			if diff := cmp.Diff(rows, piped); diff != "" {
				t.Fatalf("through a pipe it is read otherwise:\n%s", diff)
			}
		}
		if err == nil && len(rows) == 0 {
			t.Fatal("a file without a row was taken")
		}
	})
}

// BenchmarkRead reads a log of a million rows with the columns that bars keep.
// Run it with -cpu 1 for the figure on one core.
func BenchmarkRead(b *testing.B) {
	const rows, aDay = 1_000_000, 600
	drinks := []string{"espresso", "cappuccino", "flat white", "espresso", "americano"}
	var file bytes.Buffer
	fmt.Fprintln(&file, "date-time,dose,yield,seconds,grind setting,drink,beans,note")
	for n := range rows {
		day, i := record.NewDate(2021, time.February, 1)+record.Date(n/aDay), n%aDay
		minute := 400 + i*900/aDay
		fmt.Fprintf(&file, "%s %02d:%02d,%.1f,%.1f,%d,%d.5,%s,house blend,\n", day, minute/60, minute%60,
			18+0.1*float64(i%5), 36+0.5*float64(i%7), 25+i%9, 4+n/5000%3, drinks[i%len(drinks)])
	}
	for b.Loop() {
		log, err := Open(bytes.NewReader(file.Bytes()), Options{})
		if err != nil {
			b.Fatal(err)
		}
		n := 0
		for _, err := range log.Rows(func(int64) {}) {
			if err != nil {
				b.Fatal(err)
			}
			n++
		}
		if n != rows {
			b.Fatalf("read %d rows", n)
		}
	}
	b.ReportMetric(rows*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
}
