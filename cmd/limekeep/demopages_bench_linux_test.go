package main

import (
	"context"
	"encoding/json"
	"log/slog"
	"maps"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/spf13/viper"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// BenchmarkDemoPages asks for every page of the demo's household as nobody asked before,
// and once more right after something was written down, while the next answer is worked
// out beside it. cpu-ms/op is the processor time of the request alone, which a busy
// machine leaves nearly as it is; packed-B is what goes over the wire. Asked for are 20 ms
// and 60 kB.
func BenchmarkDemoPages(b *testing.B) {
	folder := b.TempDir()
	b.Setenv("HOME", folder)
	b.Setenv("XDG_CONFIG_HOME", folder)
	a := &app{settings: viper.New()}
	a.settings.Set("worlds", day.DefaultWorlds)
	a.settings.Set("months", day.DefaultPlanMonths)
	h, err := a.openFile(b.Context(), filepath.Join(folder, "records.db"), "demo")
	if err != nil {
		b.Fatal(err)
	}
	defer h.close()
	m, err := fillDemo(b.Context(), h, schedule.Moment{Today: benchToday})
	if err != nil {
		b.Fatal(err)
	}
	h.from("page")
	server := a.pagesOf(h, m, slog.New(slog.DiscardHandler))
	server.AnyAddress = true
	pages := server.Handler()
	if err := server.Renew(b.Context()); err != nil {
		b.Fatal(err)
	}
	ctx, stop := context.WithCancel(b.Context())
	stopped := make(chan struct{})
	go func() { defer close(stopped); server.Watch(ctx) }()
	defer func() { stop(); <-stopped }()
	for !server.Watched() {
		time.Sleep(time.Millisecond)
	}
	list, err := os.ReadFile(filepath.Join("..", "..", ".ci", "clients", "browse", "pages.json"))
	if err != nil {
		b.Fatal(err)
	}
	var paths map[string]string
	if err := json.Unmarshal([]byte(strings.NewReplacer("{task}", taskOnPhone, "hand-grinder", "grinder").Replace(string(list))), &paths); err != nil {
		b.Fatal(err)
	}
	maps.Copy(paths, map[string]string{"descaling": "/tasks/machine/descale/brew", "flow test": "/tasks/machine/flow-test/group"})
	asked := 0
	ask := func(b *testing.B, path string) (spent time.Duration, packed int) {
		mark := "?"
		if strings.Contains(path, "?") {
			mark = "&"
		}
		asked++
		r := httptest.NewRequestWithContext(b.Context(), "GET", path+mark+"asked="+strconv.Itoa(asked), nil)
		r.Header.Set("Accept-Encoding", "gzip")
		r.Header.Set("Accept-Language", "en-US")
		w := httptest.NewRecorder()
		from := threadTime(b)
		pages.ServeHTTP(w, r)
		spent = threadTime(b) - from
		if w.Code != 200 {
			b.Fatalf("%s: status %d", path, w.Code)
		}
		return spent, w.Body.Len()
	}
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	for _, what := range slices.Sorted(maps.Keys(paths)) {
		for _, after := range []string{"anew", "written"} {
			b.Run(strings.ReplaceAll(what, " ", "-")+"/"+after, func(b *testing.B) {
				runtime.LockOSThread()
				defer runtime.UnlockOSThread()
				ask(b, paths[what])
				var spent time.Duration
				var packed, n int
				for b.Loop() {
					if after == "written" {
						b.StopTimer()
						d, err := h.days.Open(b.Context(), m)
						if err != nil {
							b.Fatal(err)
						}
						if _, err := h.journal.AddUse(b.Context(), d, journal.UseEntry{Machine: "machine", From: benchToday, To: benchToday, Sum: record.UseRow{Shots: 5}}); err != nil {
							b.Fatal(err)
						}
						b.StartTimer()
					}
					one, size := ask(b, paths[what])
					spent, packed, n = spent+one, size, n+1
				}
				b.ReportMetric(float64(spent.Microseconds())/1000/float64(n), "cpu-ms/op")
				b.ReportMetric(float64(packed), "packed-B")
			})
		}
	}
}

// threadTime is the processor time of this thread so far.
func threadTime(b *testing.B) time.Duration {
	b.Helper()
	const rusageThread = 1 // of Linux: the calling thread alone
	var r syscall.Rusage
	if err := syscall.Getrusage(rusageThread, &r); err != nil {
		b.Fatal(err)
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}
