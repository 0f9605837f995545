package web

import (
	"bytes"
	"fmt"
	"net/http"
	"runtime"
	"strconv"
)

// MetricsHandler answers with the figures in the text format of Prometheus
// (exposition format 0.0.4). It asks for no password.
func (s *Server) MetricsHandler() http.Handler {
	p := s.publisher()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var b bytes.Buffer
		p.metrics.Print(&b)
		gauge := func(name, help string, value float64) {
			fmt.Fprintf(&b, "# HELP %s %s\n# TYPE %s gauge\n%s %s\n", name, help, name, name, strconv.FormatFloat(value, 'g', -1, 64))
		}
		if version, err := p.Days.Records.Version(r.Context()); err == nil {
			gauge("limekeep_records_version", "Version of the records.", float64(version))
		}
		if e := p.now.Load(); e != nil {
			gauge("limekeep_edition_version", "Version of the records that the calendar tells of.", float64(e.version))
		}
		failing := 0.0
		if p.failing.Load() {
			failing = 1
		}
		gauge("limekeep_plan_failing", "1 where the last plan could not be made.", failing)
		var memory runtime.MemStats
		runtime.ReadMemStats(&memory)
		gauge("limekeep_heap_bytes", "Memory in use.", float64(memory.HeapAlloc))
		gauge("limekeep_goroutines", "Goroutines.", float64(runtime.NumGoroutine()))
		w.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
		_, _ = w.Write(b.Bytes())
	})
}
