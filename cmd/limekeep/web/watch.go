package web

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"limekeep/schedule/record"
)

// Times of the watch. Assumptions.
const (
	lookEvery   = time.Second // whether other processes wrote; and from one edition to the next
	firstRetry  = time.Second // after a plan could not be made; twice as long each time
	lastRetry   = time.Minute
	renewEvery  = time.Hour // whatever the records say: the owner's own calendar may have changed
	settleAfter = 2 * time.Second
	newDayHour  = 4 // by when a new day has a plan, if the nightly one was missed
)

// Watch keeps what the server gives out up to date until the context ends:
// after every change of the records, whoever makes it, and with every new day.
// Requests never wait for it.
func (s *Server) Watch(ctx context.Context) {
	p := s.publisher()
	if p.now.Load() == nil {
		if err := s.Renew(ctx); err != nil {
			p.complain(ctx, err)
		}
	}
	p.watched.Store(true)
	defer p.watched.Store(false)
	ticker := time.NewTicker(lookEvery)
	defer ticker.Stop()
	renewed, rest, retry := time.Now(), time.Duration(0), firstRetry
	var fetching sync.WaitGroup
	defer fetching.Wait()
	fetched := time.Time{}
	for {
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		case <-p.wake:
		}
		if b := p.now.Load(); b != nil && p.OwnCal != nil && time.Since(fetched) > renewEvery {
			fetched = time.Now()
			fetching.Go(func() { p.refreshOwn(ctx, b.agenda.Place) })
		}
		// One edition a second at most: what comes meanwhile goes into the next.
		if !sleep(ctx, rest) {
			return
		}
		began := time.Now()
		made, err := p.look(ctx, p.anew.Swap(false) || time.Since(renewed) > renewEvery)
		rest = 0
		switch {
		case err != nil:
			rest, retry = retry, min(2*retry, lastRetry)
			p.complain(ctx, err)
		case made:
			renewed, rest, retry = time.Now(), lookEvery-time.Since(began), firstRetry
		case time.Since(renewed) > settleAfter:
			p.settle(ctx)
		}
		p.failing.Store(err != nil)
	}
}

// refreshOwn fetches the calendar of a place's owner, where it has an address, and has
// the plan made anew where it changed.
func (p *publisher) refreshOwn(ctx context.Context, place string) {
	var changed bool
	var err error
	defer func() {
		if what := recover(); what != nil {
			err = fmt.Errorf("a panic: %v\n%s", what, debug.Stack())
		}
		if err != nil && ctx.Err() == nil && p.Log != nil {
			p.Log.WarnContext(ctx, "the owner's own calendar could not be fetched", "error", err)
		}
		if changed {
			p.renewSoon()
		}
	}()
	changed, err = p.OwnCal.Refresh(ctx, place)
}

// renewSoon has another edition made that no record calls for: the owner's own calendar
// is another.
func (p *publisher) renewSoon() {
	p.anew.Store(true)
	p.nudge()
}

// sleep waits, and reports whether the context goes on.
func sleep(ctx context.Context, d time.Duration) bool {
	if d <= 0 {
		return ctx.Err() == nil
	}
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return false
	case <-timer.C:
		return true
	}
}

// settle works out, once it is quiet, the forecast in which the plan that went out is
// known, so that pages show what the commands show.
func (p *publisher) settle(ctx context.Context) {
	b := p.now.Load()
	if b == nil || b.forecast.Load().Day.Version() == b.version {
		return
	}
	d, err := p.Days.Open(ctx, p.moment())
	if err != nil || d.Version() != b.version || d.Today != b.agenda.Today {
		return // the next look sees to that
	}
	f, err := d.Forecast(ctx)
	if err != nil {
		p.complain(ctx, err)
		return
	}
	b.forecast.Store(f)
}

// look makes an edition if one is called for, or in any case. A panic is an error,
// so that the pages outlive it.
func (p *publisher) look(ctx context.Context, anyway bool) (made bool, err error) {
	defer func() {
		if what := recover(); what != nil {
			err = fmt.Errorf("a panic: %v\n%s", what, debug.Stack())
		}
	}()
	due, err := p.due(ctx)
	if err != nil {
		return false, err
	}
	if !due && !anyway {
		return false, p.abreast(ctx)
	}
	return true, p.Renew(ctx)
}

// Watched reports whether Watch is at work.
func (s *Server) Watched() bool { return s.publisher().watched.Load() }

// due reports whether a new edition is called for. A new day waits for the nightly
// plan, unless that was missed.
func (p *publisher) due(ctx context.Context) (bool, error) {
	b := p.now.Load()
	if b == nil {
		return true, nil
	}
	version, err := p.Days.Records.Version(ctx)
	if err != nil {
		return false, err
	}
	return p.missed(b) || version != b.version, nil
}

// missed reports whether the plan of the night did not come.
func (p *publisher) missed(b *edition) bool {
	now := p.Days.Now().In(b.agenda.Zone)
	return p.Today.IsZero() && record.DateOf(now) > b.agenda.Today && now.Hour() >= newDayHour
}

func (p *publisher) complain(ctx context.Context, err error) {
	if ctx.Err() == nil && p.Log != nil {
		p.Log.Error("the plan could not be made anew", "error", err)
	}
}
