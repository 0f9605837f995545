package gate

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"
)

// Metrics counts what a server answers, for Prometheus.
type Metrics struct {
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

// NewMetrics returns counts of nothing.
func NewMetrics() *Metrics { return &Metrics{requests: map[answeredKey]*answeredCount{}} }

// count counts an answer. Patterns and status codes are few.
func (m *Metrics) count(page string, status int, took time.Duration) {
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

// Print writes the counts in the text format of Prometheus (exposition format 0.0.4).
func (m *Metrics) Print(b *bytes.Buffer) {
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
