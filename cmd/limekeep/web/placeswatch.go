package web

import (
	"cmp"
	"context"
	"slices"
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

// askedLastFirst orders places by when they were asked for, the last first.
func askedLastFirst(a, b *placeAtWork) int { return cmp.Compare(b.asked.Load(), a.asked.Load()) }

// next returns the place whose turn it is; nil where all is as it should be.
func (p *places) next(ctx context.Context) *placeAtWork {
	if ctx.Err() != nil {
		return nil
	}
	list := p.list()
	slices.SortStableFunc(list, askedLastFirst)
	now := time.Now()
	for _, at := range list {
		if now.Before(at.retry) {
			continue
		}
		if at.due(p.versionOf(at)) {
			return at
		}
	}
	return nil
}

// due reports whether the place, whose records have a version, is to be worked out anew:
// they or the day are others than its outlook knows. One that let go of its forecast waits
// for that.
func (w *placeAtWork) due(version int64) bool {
	pub := w.handler.publisher
	if b := pub.now.Load(); b != nil {
		return version > b.version || pub.missed(b)
	}
	o := w.outlook.Load()
	if o == nil {
		return true
	}
	now := w.server.Days.Now().In(o.Zone)
	newDay := w.server.Today.IsZero() && record.DateOf(now) > o.Today && now.Hour() >= newDayHour
	wanted := w.asked.Load() > w.cooled.Load()
	return newDay || wanted || version > o.Version
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
	w.district.Store(&b.forecast.Load().Day.Place.District)
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
	slices.SortStableFunc(warm, askedLastFirst)
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
