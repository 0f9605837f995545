package web

import (
	"context"
	"fmt"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"limekeep/schedule/agenda"
	"limekeep/schedule/record"
)

// publisher makes the editions. While it is watched, requests are answered with the
// last one, however long the next one takes; else a request looks by itself
// whether the records have changed.
type publisher struct {
	*Server
	mu      sync.Mutex // one at a time makes an edition or changes what it is made from
	now     atomic.Pointer[edition]
	watched atomic.Bool
	wake    chan struct{}

	secretMu sync.Mutex
	known    string    // the secret
	asked    time.Time // when it was asked for

	modified lastModified

	deletions []deletion // of the last minute, by task apps
}

// Times of the watch. Assumptions.
const (
	retryAfter  = time.Minute // after a plan could not be made
	lookEvery   = time.Second // whether other processes wrote
	renewEvery  = time.Hour   // whatever the records say: the owner's own calendar may have changed
	secretLasts = time.Second
	newDayHour  = 4 // by when a new day has a plan, if the nightly one was missed
)

func newPublisher(s *Server) *publisher { return &publisher{Server: s, wake: make(chan struct{}, 1)} }

// current returns the edition to answer with.
func (p *publisher) current(ctx context.Context) (*edition, error) {
	b := p.now.Load()
	if b != nil && p.watched.Load() {
		return b, nil
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.fresh(ctx)
}

// fresh returns an edition of the records as they are now; the publisher is locked.
func (p *publisher) fresh(ctx context.Context) (*edition, error) {
	if b := p.now.Load(); b != nil {
		stale, err := p.stale(ctx, b)
		if err != nil || !stale {
			return b, err
		}
	}
	return p.make(ctx)
}

// stale reports whether the records, or the day, are others than those of an
// edition.
func (p *publisher) stale(ctx context.Context, b *edition) (bool, error) {
	version, err := p.Days.Records.Version(ctx)
	if err != nil {
		return false, err
	}
	today := p.Today
	if today.IsZero() {
		today = record.DateOf(p.Days.Now().In(b.agenda.Zone))
	}
	return version != b.version || today != b.agenda.Today, nil
}

// mostRenewals bounds how often a plan that was overtaken is made anew before
// everybody has to wait for it.
const mostRenewals = 3

// Renew makes the plan anew and gives it out from then on. While it is made, task
// apps can still tick off; if they do, it is made again.
func (s *Server) Renew(ctx context.Context) error {
	p := s.publisher()
	for range mostRenewals {
		b, err := p.draft(ctx)
		if err != nil {
			return err
		}
		if given, err := p.giveOutIfFresh(ctx, b); err != nil || given {
			return err
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	_, err := p.make(ctx)
	return err
}

// giveOutIfFresh gives an edition out unless something was written down since.
func (p *publisher) giveOutIfFresh(ctx context.Context, b *edition) (bool, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	now, err := p.Days.Records.Version(ctx)
	if err != nil || now != b.version {
		return false, err
	}
	return true, p.giveOut(ctx, b)
}

// make makes an edition and gives it out; the publisher is locked.
func (p *publisher) make(ctx context.Context) (*edition, error) {
	b, err := p.draft(ctx)
	if err != nil {
		return nil, err
	}
	return b, p.giveOut(ctx, b)
}

// draft publishes what is due, and makes an edition of it. On a day chosen by hand
// nothing is published.
func (p *publisher) draft(ctx context.Context) (*edition, error) {
	before, err := p.Days.Records.Version(ctx)
	if err != nil {
		return nil, err
	}
	b := &edition{version: before}
	if !p.Today.IsZero() {
		b.agenda, err = p.Publisher.Agenda(ctx, p.moment())
		return b, err
	}
	agenda, wrote, err := p.Publisher.Publish(ctx, p.moment())
	if err != nil {
		return nil, err
	}
	b.agenda = agenda
	if after, err := p.Days.Records.Version(ctx); err == nil && wrote && after == before+1 {
		b.version = after // nothing was written but the publication
	}
	return b, nil
}

// amend gives out an agenda that is known to have changed, ahead of the plan that
// will follow from it; the publisher is locked.
func (p *publisher) amend(ctx context.Context, was *edition, change func(*agenda.Agenda)) error {
	b := &edition{version: was.version, agenda: was.agenda}
	b.agenda.Entries, b.agenda.Done = slices.Clone(was.agenda.Entries), slices.Clone(was.agenda.Done)
	change(&b.agenda)
	err := p.giveOut(ctx, b)
	p.nudge()
	return err
}

func (p *publisher) giveOut(ctx context.Context, b *edition) error {
	b.files = map[fileKey]*file{}
	b.since = func(key fileKey, tag string) time.Time { return p.modified.of(key, tag, p.Days.Now()) }
	if p.SyncStore != nil {
		if err := p.syncTodos(ctx, b); err != nil {
			return err
		}
	}
	p.now.Store(b)
	return nil
}

// nudge asks the watch to look now.
func (p *publisher) nudge() {
	select {
	case p.wake <- struct{}{}:
	default: // it is going to
	}
}

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
	look := time.NewTicker(lookEvery)
	defer look.Stop()
	renewed, failed := time.Now(), time.Time{}
	for {
		select {
		case <-ctx.Done():
			return
		case <-look.C:
		case <-p.wake:
		}
		if time.Since(failed) < retryAfter {
			continue
		}
		made, err := p.look(ctx, time.Since(renewed) > renewEvery)
		if made {
			renewed = time.Now()
		}
		if err != nil {
			failed = time.Now()
			p.complain(ctx, err)
		}
	}
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
	if err != nil || !due && !anyway {
		return false, err
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
	now := p.Days.Now().In(b.agenda.Zone)
	missed := p.Today.IsZero() && record.DateOf(now) > b.agenda.Today && now.Hour() >= newDayHour
	return missed || version != b.version, nil
}

func (p *publisher) complain(ctx context.Context, err error) {
	if ctx.Err() == nil && p.Log != nil {
		p.Log.Error("the plan could not be made anew", "error", err)
	}
}

// secret returns the secret of the calendar's address, empty where there is none.
// It is asked for at most once a second, and anew after it was replaced here.
func (p *publisher) secret(ctx context.Context) (string, error) {
	if p.Secret == nil {
		return "", nil
	}
	p.secretMu.Lock()
	defer p.secretMu.Unlock()
	if !p.asked.IsZero() && time.Since(p.asked) < secretLasts {
		return p.known, nil
	}
	secret, err := p.Secret(ctx)
	if err != nil {
		return "", err
	}
	p.known, p.asked = secret, time.Now()
	return secret, nil
}

// forgetSecret makes the next request ask for the secret.
func (p *publisher) forgetSecret() {
	p.secretMu.Lock()
	defer p.secretMu.Unlock()
	p.asked = time.Time{}
}
