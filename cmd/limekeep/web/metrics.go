package web

import (
	"bytes"
	"fmt"
	"net/http"
	"runtime"
	"strconv"

	"limekeep/cmd/limekeep/web/gate"
	"limekeep/schedule"
)

// MetricsHandler answers with the figures in the text format of Prometheus
// (exposition format 0.0.4). It asks for no password.
func (s *Server) MetricsHandler() http.Handler {
	p := s.publisher()
	return metricsHandler(p.metrics, p.Days.Records, func(gauge gaugePrinter) {
		if e := p.now.Load(); e != nil {
			gauge("limekeep_edition_version", "Version of the records that the calendar tells of.", float64(e.version))
		}
		failing := 0.0
		if p.failing.Load() {
			failing = 1
		}
		gauge("limekeep_plan_failing", "1 where the last plan could not be made.", failing)
	})
}

// MetricsHandler answers with the figures of all places, as a Server does with its own.
func (p *Places) MetricsHandler() http.Handler {
	w := p.work()
	return metricsHandler(w.metrics, w.Records, func(gauge gaugePrinter) {
		all, without, failing, warm := w.list(), 0, 0, 0
		for _, at := range all {
			if at.outlook.Load() == nil {
				without++
			}
			if at.failing.Load() != nil {
				failing++
			}
			if at.handler.publisher.now.Load() != nil {
				warm++
			}
		}
		gauge("limekeep_places", "Places.", float64(len(all)))
		gauge("limekeep_places_waiting", "Places that were not worked out yet.", float64(without))
		gauge("limekeep_plan_failing", "Places whose last plan could not be made.", float64(failing))
		gauge("limekeep_places_held", "Places whose whole forecast is in memory.", float64(warm))
	})
}

// gaugePrinter prints a figure that goes up and down.
type gaugePrinter func(name, help string, value float64)

// metricsHandler answers with what was counted, with figures of its own, and with what
// every server has.
func metricsHandler(counted *gate.Metrics, records schedule.Records, own func(gaugePrinter)) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var b bytes.Buffer
		counted.Print(&b)
		gauge := func(name, help string, value float64) {
			fmt.Fprintf(&b, "# HELP %s %s\n# TYPE %s gauge\n%s %s\n", name, help, name, name, strconv.FormatFloat(value, 'g', -1, 64))
		}
		if version, err := records.Version(r.Context()); err == nil {
			gauge("limekeep_records_version", "Version of the records.", float64(version))
		}
		own(gauge)
		var memory runtime.MemStats
		runtime.ReadMemStats(&memory)
		gauge("limekeep_heap_bytes", "Memory in use.", float64(memory.HeapAlloc))
		gauge("limekeep_goroutines", "Goroutines.", float64(runtime.NumGoroutine()))
		w.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
		_, _ = w.Write(b.Bytes())
	})
}
