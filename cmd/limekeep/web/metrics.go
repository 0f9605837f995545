package web

import (
	"bytes"
	"fmt"
	"maps"
	"net/http"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// metrics counts what a server does, for Prometheus.
type metrics struct {
	mu       sync.Mutex
	requests map[answeredKey]*answeredCount
}

// answeredKey tells answers apart that are counted together.
type answeredKey struct {
	page   string // pattern of its address
	status int
}

type answeredCount struct {
	count   uint64
	seconds float64
	within  [len(latencies)]uint64
}

// latencies are the bounds of the histogram, in seconds.
var latencies = [...]float64{0.005, 0.025, 0.1, 0.5, 2.5, 10}

func newMetrics() *metrics { return &metrics{requests: map[answeredKey]*answeredCount{}} }

// count counts an answer. Patterns and status codes are few.
func (m *metrics) count(page string, status int, took time.Duration) {
	m.mu.Lock()
	defer m.mu.Unlock()
	key := answeredKey{page, status}
	c := m.requests[key]
	if c == nil {
		c = &answeredCount{}
		m.requests[key] = c
	}
	c.count++
	c.seconds += took.Seconds()
	for i, bound := range latencies {
		if took.Seconds() <= bound {
			c.within[i]++
		}
	}
}

// MetricsHandler answers with the figures in the text format of Prometheus
// (exposition format 0.0.4). It asks for no password.
func (s *Server) MetricsHandler() http.Handler {
	p := s.publisher()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var b bytes.Buffer
		p.metrics.write(&b)
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

func (m *metrics) write(b *bytes.Buffer) {
	m.mu.Lock()
	defer m.mu.Unlock()
	const name = "limekeep_answer_seconds"
	fmt.Fprintf(b, "# HELP %s Time to answer, by page and status.\n# TYPE %s histogram\n", name, name)
	keys := slices.SortedFunc(maps.Keys(m.requests), func(a, b answeredKey) int {
		if n := strings.Compare(a.page, b.page); n != 0 {
			return n
		}
		return a.status - b.status
	})
	for _, key := range keys {
		c := m.requests[key]
		labels := fmt.Sprintf("page=%q,status=\"%d\"", key.page, key.status)
		for i, bound := range latencies {
			fmt.Fprintf(b, "%s_bucket{%s,le=\"%g\"} %d\n", name, labels, bound, c.within[i])
		}
		fmt.Fprintf(b, "%s_bucket{%s,le=\"+Inf\"} %d\n%s_sum{%s} %g\n%s_count{%s} %d\n", name, labels, c.count, name, labels, c.seconds, name, labels, c.count)
	}
}
