package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"limekeep/schedule/record"
	"limekeep/store/testserver"
)

// BenchmarkNightWorkers plans all places of a server anew, night after night: one night by
// one process on one core, the next by two on one core each. It tells how many places an
// hour each gets through, and the factor between the two. The server's own processes run
// where they like, so that on two cores they stand in the way of both.
func BenchmarkNightWorkers(b *testing.B) {
	if _, err := exec.LookPath("taskset"); err != nil {
		b.Skip("only Linux keeps a process on a core: ", err)
	}
	counts := nightPlaces(b)
	places := counts[len(counts)-1]
	address := testserver.Database(b)
	h := nightHouse(b, address)
	h.days.Now = func() time.Time { return atNight(benchToday) }
	for i := range places {
		settleIn(b, h, i, chainMains)
	}
	measureNight(b, h, places) // what water tests stand for is kept from now on
	nights, took := 0, [3]time.Duration{}
	for b.Loop() {
		for workers := 1; workers <= 2; workers++ {
			b.StopTimer()
			today := benchToday + record.Date(nights)
			nights++
			for i := range places {
				drinkOn(b, h, i, today, today)
			}
			b.StartTimer()
			begin := time.Now()
			workOnCores(b, workers, address, today+1)
			took[workers] += time.Since(begin)
		}
	}
	each := float64(places*nights/2) * float64(time.Hour)
	b.ReportMetric(each/float64(took[1]), "places/h-by-one")
	b.ReportMetric(each/float64(took[2]), "places/h-by-two")
	b.ReportMetric(float64(took[1])/float64(took[2]), "times")
}

// workOnCores plans a night by processes that each have a core to themselves.
func workOnCores(b *testing.B, processes int, address string, today record.Date) {
	b.Helper()
	var all []*exec.Cmd
	for core := range processes {
		cmd := exec.CommandContext(b.Context(), "taskset", "-c", strconv.Itoa(core), nightWorkerName, address, strconv.Itoa(int(today)))
		cmd.Env = append(os.Environ(), "GOMAXPROCS=1")
		cmd.Stderr = os.Stderr
		if err := cmd.Start(); err != nil {
			b.Fatal(err)
		}
		all = append(all, cmd)
	}
	for _, cmd := range all {
		if err := cmd.Wait(); err != nil {
			b.Fatal(err)
		}
	}
}

// nightWorkerName is what the program is called that works at a night of
// BenchmarkNightWorkers: its arguments are where the records are, and the day.
const nightWorkerName = "limekeep-night"

func nightWorker() {
	if err := workAtNight(context.Background(), os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func workAtNight(ctx context.Context, address, today string) error {
	on, err := strconv.Atoi(today)
	if err != nil {
		return err
	}
	h, err := openNightHouse(ctx, address)
	if err != nil {
		return err
	}
	defer h.db.Close()
	h.days.Now = func() time.Time { return atNight(record.Date(on)) }
	n := &night{house: h, workers: 1, out: os.Stdout, shown: &progress{}}
	return n.all(ctx)
}
