package web

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"runtime"
	"slices"
	"strconv"
	"time"

	"limekeep/schedule/record"
)

// Watch keeps what is given out of every place up to date until the context ends, one
// place after the other: those that somebody asked for last come first. Requests never
// wait for it.
func (p *Places) Watch(ctx context.Context) {
	w := p.work()
	defer func() {
		for _, at := range w.list() {
			at.handler.publisher.watched.Store(false)
		}
	}()
	ticker := time.NewTicker(lookEvery)
	defer ticker.Stop()
	for {
		if err := w.look(ctx); err != nil && ctx.Err() == nil {
			w.front.log.ErrorContext(ctx, "the places could not be read", "error", err)
		}
		if at := w.next(ctx); at != nil {
			w.renew(ctx, at)
			w.cool()
			continue
		}
		if at := w.unsettled(); at != nil && ctx.Err() == nil {
			at.handler.publisher.settle(ctx)
			at.see()
			continue
		}
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		case <-w.wake:
		}
	}
}

// Renew reads which places there are; what of them is worked out is for Watch.
func (p *Places) Renew(ctx context.Context) error { return p.work().look(ctx) }

// next returns the place whose turn it is; nil where all is as it should be.
func (p *places) next(ctx context.Context) *placeAtWork {
	if ctx.Err() != nil {
		return nil
	}
	list := p.list()
	slices.SortStableFunc(list, func(a, b *placeAtWork) int { return int(sign(b.asked.Load() - a.asked.Load())) })
	now := time.Now()
	for _, at := range list {
		if now.Before(at.retry) {
			continue
		}
		due, err := at.due(ctx)
		if err != nil {
			p.complain(ctx, at, err)
			at.later(err)
			continue
		}
		if due {
			return at
		}
	}
	return nil
}

func sign(x int64) int64 {
	switch {
	case x < 0:
		return -1
	case x > 0:
		return 1
	}
	return 0
}

// due reports whether the place is to be worked out anew: its records or the day are
// others than its outlook knows. One that let go of its forecast waits for that.
func (w *placeAtWork) due(ctx context.Context) (bool, error) {
	pub := w.handler.publisher
	if pub.now.Load() != nil {
		return pub.due(ctx)
	}
	o := w.outlook.Load()
	if o == nil {
		return true, nil
	}
	version, err := w.server.Days.Records.Version(ctx)
	if err != nil {
		return false, err
	}
	now := w.server.Days.Now().In(o.Zone)
	newDay := w.server.Today.IsZero() && record.DateOf(now) > o.Today && now.Hour() >= newDayHour
	wanted := w.asked.Load() > w.cooled.Load()
	return newDay || wanted || version != o.Version, nil
}

// renew works a place out anew.
func (p *places) renew(ctx context.Context, at *placeAtWork) {
	pub := at.handler.publisher
	_, err := pub.look(ctx, true)
	pub.failing.Store(err != nil)
	if err != nil {
		p.complain(ctx, at, err)
		at.later(err)
		return
	}
	at.failing.Store(nil)
	at.waits, at.retry, at.renewed = 0, time.Time{}, time.Now()
	pub.watched.Store(true)
	at.see()
}

// later has a place tried again after a while, twice as long each time.
func (w *placeAtWork) later(err error) {
	text := err.Error()
	w.failing.Store(&text)
	w.waits = min(lastRetry, max(firstRetry, 2*w.waits))
	w.retry = time.Now().Add(w.waits)
}

// see keeps the outlook of the forecast that is given out.
func (w *placeAtWork) see() {
	b := w.handler.publisher.now.Load()
	if b == nil || b.forecast.Load() == nil {
		return
	}
	o := b.forecast.Load().Outlook()
	o.Version = b.version
	w.outlook.Store(&o)
	w.agenda.Store(&b.agenda)
}

// unsettled returns a place whose forecast does not know yet of the plan that went out.
func (p *places) unsettled() *placeAtWork {
	for _, at := range p.list() {
		b := at.handler.publisher.now.Load()
		if b != nil && at.failing.Load() == nil && at.settled != b && b.forecast.Load().Day.Version() < b.version && time.Since(at.renewed) > settleAfter {
			at.settled = b // once
			return at
		}
	}
	return nil
}

// cool lets those places go of their forecast that were asked for the longest ago, where
// more are held than may be.
func (p *places) cool() {
	most := p.MostWarm
	if most == 0 {
		most = UsualWarm
	}
	var warm []*placeAtWork
	for _, at := range p.list() {
		if at.handler.publisher.now.Load() != nil {
			warm = append(warm, at)
		}
	}
	if len(warm) <= most {
		return
	}
	slices.SortStableFunc(warm, func(a, b *placeAtWork) int { return int(sign(b.asked.Load() - a.asked.Load())) })
	for _, at := range warm[most:] {
		at.cooled.Store(time.Now().UnixNano())
		at.handler.publisher.letGo()
		at.server.Days.Forget()
		at.handler.keptPages.letGo()
	}
}

// letGo lets go of the edition; whoever asks next has it made anew.
func (p *publisher) letGo() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.watched.Store(false)
	p.now.Store(nil)
}

// letGo lets go of all pages.
func (k *keptPages) letGo() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.from, k.pages, k.bytes = madeFrom{}, nil, 0
}

// MetricsHandler answers with the figures in the text format of Prometheus (exposition
// format 0.0.4). It asks for no password.
func (p *Places) MetricsHandler() http.Handler {
	w := p.work()
	return http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		var b bytes.Buffer
		w.metrics.Print(&b)
		gauge := func(name, help string, value float64) {
			fmt.Fprintf(&b, "# HELP %s %s\n# TYPE %s gauge\n%s %s\n", name, help, name, name, strconv.FormatFloat(value, 'g', -1, 64))
		}
		if version, err := w.Records.Version(r.Context()); err == nil {
			gauge("limekeep_records_version", "Version of the records.", float64(version))
		}
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
		var memory runtime.MemStats
		runtime.ReadMemStats(&memory)
		gauge("limekeep_heap_bytes", "Memory in use.", float64(memory.HeapAlloc))
		gauge("limekeep_goroutines", "Goroutines.", float64(runtime.NumGoroutine()))
		rw.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
		_, _ = rw.Write(b.Bytes())
	})
}
