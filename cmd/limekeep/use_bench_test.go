package main

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"limekeep/cmd/limekeep/intake/shotlog"
	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/store"
)

// benchToday is the day that the benchmarks take for today.
var benchToday = record.NewDate(2026, time.March, 2)

// writeShotLog writes a shot log as a bar keeps it, with the columns that such
// logs have. Invented.
func writeShotLog(tb testing.TB, rows int) string {
	tb.Helper()
	path := filepath.Join(tb.TempDir(), "log.csv")
	file, err := os.Create(path)
	if err != nil {
		tb.Fatal(err)
	}
	w := bufio.NewWriter(file)
	fmt.Fprintln(w, "date-time,dose,yield,seconds,grind setting,drink,beans,note")
	drinks := []string{"espresso", "cappuccino", "flat white", "espresso", "americano"}
	const aDay = 600
	for n := range rows {
		day, i := record.NewDate(2021, time.February, 1)+record.Date(n/aDay), n%aDay
		minute := 400 + i*900/aDay
		fmt.Fprintf(w, "%s %02d:%02d,%.1f,%.1f,%d,%d.5,%s,house blend,\n", day, minute/60, minute%60,
			18+0.1*float64(i%5), 36+0.5*float64(i%7), 25+i%9, 4+n/5000%3, drinks[i%len(drinks)])
	}
	if err := w.Flush(); err != nil {
		tb.Fatal(err)
	}
	if err := file.Close(); err != nil {
		tb.Fatal(err)
	}
	return path
}

// benchHouse is a bar with a machine, a grinder and its water, and nothing else.
func benchHouse(tb testing.TB) *house {
	tb.Helper()
	db, err := store.Open(context.Background(), filepath.Join(tb.TempDir(), "records.db"), nil)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { db.Close() })
	catalogue, err := care.Embedded()
	if err != nil {
		tb.Fatal(err)
	}
	h := houseOver(db, &day.Opener{Records: db, Catalogue: catalogue, Now: time.Now}, "command")
	bought := record.NewDate(2021, time.January, 1)
	_, err = h.journal.SetUp(context.Background(), bought, schedule.Setup{
		Place: record.Place{ID: "bar", Zone: "Europe/Vienna"},
		Equipment: []record.Equipment{
			{ID: "tap", Bought: bought, Line: &record.WaterLine{Supply: record.Mains}},
			{ID: "machine", Bought: bought, Machine: &record.Machine{Setting: record.Bar, Line: "tap",
				Vessels: []record.Vessel{{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless}, {ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, GaugeBar: 1.2}},
				Groups:  []record.Group{{ID: "group", ThreeWayValve: true}}, Habit: record.Habit{WeekdayShots: 600, WeekendShots: 600}}},
			{ID: "grinder", Bought: bought, Grinder: &record.Grinder{Setting: record.Bar, Drive: record.MotorDriven, Geometry: record.FlatBurrs, DiameterMM: 64, Serves: []string{"machine"}}},
		},
	})
	if err != nil {
		tb.Fatal(err)
	}
	return h
}

func importLog(tb testing.TB, h *house, path string) journal.UseImport {
	tb.Helper()
	file, err := os.Open(path)
	if err != nil {
		tb.Fatal(err)
	}
	defer file.Close()
	log, err := shotlog.Open(file, shotlog.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	about := log.About()
	about.Name = "log.csv"
	d, err := h.days.Open(context.Background(), schedule.Moment{Today: benchToday})
	if err != nil {
		tb.Fatal(err)
	}
	outcome, err := h.journal.ImportUse(context.Background(), d, about, log.Rows(func(int64) {}))
	if err != nil {
		tb.Fatal(err)
	}
	return outcome
}

const benchRows = 1_000_000

// BenchmarkUseImport takes a shot log of a million rows in, from the file to the
// commit. Run it with -cpu 1 for the figure on one core.
func BenchmarkUseImport(b *testing.B) {
	path := writeShotLog(b, benchRows)
	for b.Loop() {
		b.StopTimer()
		h := benchHouse(b)
		b.StartTimer()
		if outcome := importLog(b, h, path); outcome.Added != benchRows {
			b.Fatalf("took %d rows", outcome.Added)
		}
	}
	b.ReportMetric(benchRows*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
}

// BenchmarkShellImport is the import of the same file by the sqlite3 shell, into
// a table of text without a key, for comparison. Where there is no such shell it
// has nothing to measure.
func BenchmarkShellImport(b *testing.B) {
	shell, err := exec.LookPath("sqlite3")
	if err != nil {
		b.Log("there is no sqlite3 shell here to compare with")
		return
	}
	path := writeShotLog(b, benchRows)
	for b.Loop() {
		b.StopTimer()
		db := filepath.Join(b.TempDir(), "shell.db")
		b.StartTimer()
		if out, err := exec.Command(shell, db, ".import --csv "+path+" log").CombinedOutput(); err != nil {
			b.Fatalf("%v: %s", err, out)
		}
	}
	b.ReportMetric(benchRows*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
}

// BenchmarkDueAfterMillion asks what is due of a place whose log holds a million
// shots: the whole answer, and its parts.
func BenchmarkDueAfterMillion(b *testing.B) {
	h := benchHouse(b)
	importLog(b, h, writeShotLog(b, benchRows))
	ctx, m := context.Background(), schedule.Moment{Today: benchToday}
	b.Run("due", func(b *testing.B) {
		for b.Loop() {
			d, err := h.days.Open(ctx, m)
			if err != nil {
				b.Fatal(err)
			}
			if f, err := d.Forecast(ctx); err != nil || len(f.Due()) == 0 {
				b.Fatal(err)
			}
		}
	})
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			if book, err := h.db.Read(ctx, "bar", benchToday); err != nil || len(book.Days) == 0 {
				b.Fatal(err)
			}
		}
	})
	b.Run("show", func(b *testing.B) {
		for b.Loop() {
			d, err := h.days.Open(ctx, m)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := d.ShowUse(day.UseQuery{By: day.ByMonth}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
