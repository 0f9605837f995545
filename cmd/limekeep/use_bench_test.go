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

// benchDesk is a bar with a machine, a grinder and its water, and nothing else.
func benchDesk(tb testing.TB) *schedule.Desk {
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
	desk := &schedule.Desk{Records: db, Catalogue: catalogue, Now: time.Now, Source: "command"}
	bought := record.NewDate(2021, time.January, 1)
	_, err = desk.SetUp(context.Background(), bought, schedule.Setup{
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
	return desk
}

func importLog(tb testing.TB, desk *schedule.Desk, path string) schedule.UseImport {
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
	outcome, err := desk.ImportUseFile(context.Background(), schedule.Moment{Today: benchToday}, about, log.Rows(func(int64) {}))
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
		desk := benchDesk(b)
		b.StartTimer()
		if outcome := importLog(b, desk, path); outcome.Added != benchRows {
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
	desk := benchDesk(b)
	importLog(b, desk, writeShotLog(b, benchRows))
	ctx, m := context.Background(), schedule.Moment{Today: benchToday}
	b.Run("due", func(b *testing.B) {
		for b.Loop() {
			if dues, err := desk.Due(ctx, m); err != nil || len(dues) == 0 {
				b.Fatal(len(dues), err)
			}
		}
	})
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			if book, err := desk.Records.Read(ctx, "bar", benchToday); err != nil || len(book.Days) == 0 {
				b.Fatal(err)
			}
		}
	})
	b.Run("show", func(b *testing.B) {
		for b.Loop() {
			if _, err := desk.ShowUse(ctx, m, schedule.UseQuestion{By: schedule.ByMonth}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
