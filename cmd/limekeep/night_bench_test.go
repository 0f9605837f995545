package main

import (
	"bytes"
	"context"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/store"
	"limekeep/store/testserver"
	"limekeep/water"
)

// nightYears is how long the places of BenchmarkNight have been looked after.
const nightYears = 3

// nightPlaces are how many places a night of BenchmarkNight plans: 1, 10, 100 and so on
// up to what LIMEKEEP_PLACES says, or 10.
func nightPlaces(b *testing.B) (counts []int) {
	most := 10
	if says := os.Getenv("LIMEKEEP_PLACES"); says != "" {
		var err error
		if most, err = strconv.Atoi(says); err != nil || most < 1 {
			b.Fatalf("LIMEKEEP_PLACES is %q, not how many places at most", says)
		}
	}
	for n := 1; n <= most; n *= 10 {
		counts = append(counts, n)
	}
	return counts
}

// BenchmarkNight plans all places anew, in a file and on a server: the first night, in
// which nothing was worked out yet, and the nights after, one an iteration, to each of
// which each place has the use of one more day. It tells what a place costs the processor
// in a night, of the server too, and the most memory of the program. The places of a chain
// are on so many mains and have the tests of these; others have tests of their own.
// .ci/growth fits by what power of the places these grow.
func BenchmarkNight(b *testing.B) {
	file := func(tb testing.TB) string { return filepath.Join(tb.TempDir(), "records.db") }
	server := func(tb testing.TB) string { return testserver.Database(tb) }
	for _, where := range []struct {
		name  string
		path  func(testing.TB) string
		mains int
	}{
		{"file", file, 0},
		{"server", server, 0},
		{"chain-file", file, chainMains},
		{"chain-server", server, chainMains},
	} {
		for _, places := range nightPlaces(b) {
			b.Run(fmt.Sprintf("%s/%d", where.name, places), func(b *testing.B) {
				h := nightHouse(b, where.path(b))
				h.days.Now = func() time.Time { return atNight(benchToday) }
				for i := range places {
					settleIn(b, h, i, where.mains)
				}
				first, nights, sum := measureNight(b, h, places), 0, nightCost{}
				for b.Loop() {
					b.StopTimer()
					today := benchToday + record.Date(nights)
					h.days.Now = func() time.Time { return atNight(today + 1) }
					for i := range places {
						drinkOn(b, h, i, today, today)
					}
					b.StartTimer()
					next := measureNight(b, h, places)
					nights++
					sum.cpu += next.cpu
					sum.server += next.server
					sum.memory = max(sum.memory, next.memory)
				}
				each := 1000 / float64(places*nights)
				b.ReportMetric(first.cpu.Seconds()*1000/float64(places), "first-ms/place")
				b.ReportMetric(sum.cpu.Seconds()*each, "cpu-ms/place")
				b.ReportMetric(sum.server.Seconds()*each, "server-ms/place")
				b.ReportMetric(float64(max(first.memory, sum.memory))/(1<<20), "MB")
			})
		}
	}
}

func nightHouse(tb testing.TB, path string) *house {
	tb.Helper()
	h, err := openNightHouse(tb.Context(), path)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { h.db.Close() })
	return h
}

func openNightHouse(ctx context.Context, path string) (*house, error) {
	db, err := store.Open(ctx, path, nil)
	if err != nil {
		return nil, err
	}
	catalogue, err := care.Embedded()
	if err != nil {
		return nil, err
	}
	return houseOver(db, &day.Opener{Records: db, Catalogue: catalogue, Now: time.Now, Derived: db, Program: "benchmark"}, "command"), nil
}

// nightCost is what a night took.
type nightCost struct {
	cpu    time.Duration // of this process
	server time.Duration // of the database's processes
	memory int64         // at most, bytes
}

// measureNight plans all places anew, as "limekeep replan" does, and fails where it says of
// fewer that they were.
func measureNight(b *testing.B, h *house, places int) nightCost {
	debug.FreeOSMemory()
	if err := os.WriteFile("/proc/self/clear_refs", []byte("5"), 0); err != nil {
		b.Skip("only Linux tells the most memory: ", err)
	}
	var said bytes.Buffer
	n := &night{house: h, workers: 2, out: &said, shown: &progress{}}
	own, server := usedByProcess(b), usedByServer()
	if err := n.all(b.Context()); err != nil {
		b.Fatal(err)
	}
	if want := fmt.Sprintf("planned anew: %d of %d places", places, places); !strings.HasPrefix(said.String(), want) {
		b.Fatalf("the night says %q, not %q", said.String(), want)
	}
	h.days.Rest()
	cost := nightCost{cpu: usedByProcess(b) - own, server: usedByServer() - server}
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		b.Fatal(err)
	}
	if found := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(status); found != nil {
		kilobytes, _ := strconv.ParseInt(string(found[1]), 10, 64)
		cost.memory = kilobytes << 10
	}
	return cost
}

func usedByProcess(b *testing.B) time.Duration {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		b.Fatal(err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}

// usedByServer is what the processes of the tests' server that are there have used.
func usedByServer() (sum time.Duration) {
	const tick = time.Second / 100 // of Linux, as programs see it
	own := strconv.Itoa(os.Getpid())
	parents, used := map[string]string{}, map[string]time.Duration{}
	all, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, path := range all {
		text, err := os.ReadFile(path)
		if err != nil {
			continue // it ended meanwhile
		}
		of := strings.Fields(string(text[bytes.LastIndexByte(text, ')')+1:]))
		pid := filepath.Base(filepath.Dir(path))
		parents[pid] = of[1]
		for _, i := range []int{11, 12, 13, 14} { // its own, and that of its children that ended
			ticks, _ := strconv.Atoi(of[i])
			used[pid] += time.Duration(ticks) * tick
		}
	}
	for pid := range used {
		for at := parents[pid]; at != "" && at != "0"; at = parents[at] {
			if at == own {
				sum += used[pid]
				break
			}
		}
	}
	return sum
}

// atNight is ten past three of a day, as a server's night is.
func atNight(on record.Date) time.Time { return on.In(time.UTC).Add(3*time.Hour + 10*time.Minute) }

func nightID(i int) string { return fmt.Sprintf("place-%05d", i) }

// nightFindings are what is found each time, of what it is written down.
var nightFindings = map[string]record.Finding{
	"machine/descale/steam": record.Film, "machine/descale/brew": record.Film, "machine/group-gasket/group": record.Worn,
}

// chainMains is of how many mains the places of a chain have their water.
const chainMains = 97

// settleIn sets a place up as the demo's, with habit and care of its own, and three years
// of records. Its water is its own, or that of one of so many mains. All of it is invented
// by plain arithmetic.
func settleIn(tb testing.TB, h *house, i, mains int) {
	tb.Helper()
	setup, err := placefile.Read(bytes.NewReader(demoPlace))
	if err != nil {
		tb.Fatal(err)
	}
	id, first := nightID(i), benchToday.AddMonths(-12*nightYears)
	setup.Place.ID, setup.Place.Name = id, id
	if mains > 0 {
		setup.Place.District = fmt.Sprintf("main-%d", i%mains)
	}
	for k := range setup.Equipment {
		e := &setup.Equipment[k]
		e.Bought, e.Used = first, false
		if e.Machine != nil {
			e.Machine.Habit.WeekdayShots = 10 + float64(i%23)
		}
	}
	if _, err := h.journal.SetUp(tb.Context(), first, setup); err != nil {
		tb.Fatal(err)
	}
	entries := waterTests(i, first)
	if mains > 0 {
		if i < mains {
			appendAll(tb, h, schedule.DistrictBook(setup.Place.District), ofDistrict(entries, setup.Place.District))
		}
		entries = nil
	}
	d, err := h.days.Open(tb.Context(), schedule.Moment{Place: id, Today: benchToday})
	if err != nil {
		tb.Fatal(err)
	}
	for k, t := range d.Tasks() { // each in its time, by the calendar
		if duty, err := d.Duty(t.Task); err != nil || t.Records != "" || duty.Task.TestsWater() {
			continue
		}
		finding := nightFindings[t.Task]
		every := max(2, record.Date(0.8*demoInterval(t)))
		for on := first + every - record.Date((i+7*k)%int(every)); on < benchToday; on += every {
			entries = append(entries, record.Entry{Effective: on, Body: record.Service{Task: t.Task, Finding: finding}})
		}
	}
	appendAll(tb, h, id, entries)
	drinkOn(tb, h, i, first, benchToday-1)
}

// waterTests are a test of a place's line each half year.
func waterTests(i int, first record.Date) (entries []record.Entry) {
	drop := func(q water.Quantity, degrees float64) water.Measured {
		return water.Measured{Quantity: q, Value: degrees, Unit: water.GermanDegree, Method: water.MethodDrop}
	}
	for on := first + 20; on < benchToday; on += 182 {
		n := float64(i%97)/10 + float64(on-first)/1000
		entries = append(entries, record.Entry{Effective: on, Body: record.WaterTest{Line: "water",
			Test: water.Test{Values: []water.Measured{drop(water.Hardness, 12+n), drop(water.Alkalinity, 9+0.8*n)}}}})
	}
	return entries
}

// ofDistrict makes tests of a line those of a district.
func ofDistrict(tests []record.Entry, district string) []record.Entry {
	for k, e := range tests {
		tests[k].Body = record.WaterTest{District: district, Test: e.Body.(record.WaterTest).Test}
	}
	return tests
}

// appendAll writes down entries of a place in the order of their days.
func appendAll(tb testing.TB, h *house, place string, entries []record.Entry) {
	tb.Helper()
	slices.SortStableFunc(entries, func(a, b record.Entry) int { return int(a.Effective - b.Effective) })
	for k := range entries {
		entries[k].Place, entries[k].Source = place, "import"
		entries[k].Entered = atNight(entries[k].Effective)
	}
	if _, err := h.db.Append(tb.Context(), entries...); err != nil {
		tb.Fatal(err)
	}
}

// drinkOn writes down what was drawn on some days, a row a day.
func drinkOn(tb testing.TB, h *house, i int, first, last record.Date) {
	tb.Helper()
	rows := func(yield func(record.UseRow, error) bool) {
		for on := first; on <= last; on++ {
			shots := float64(10 + i%23 + int(on)%5)
			if !yield(record.UseRow{Date: on, Minute: -1, Shots: shots, Steamed: 0.4 * shots, HotWaterLitres: 0.05 * shots}, nil) {
				return
			}
		}
	}
	entry := record.Entry{Place: nightID(i), Entered: atNight(last + 1), Source: "import", Body: record.UseBatch{Machine: "machine", File: fmt.Sprintf("to-%s.csv", last)}}
	if _, err := h.db.AppendUse(context.Background(), entry, iter.Seq2[record.UseRow, error](rows)); err != nil {
		tb.Fatal(err)
	}
}
