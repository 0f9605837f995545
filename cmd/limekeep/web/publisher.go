package web

import (
	"context"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"limekeep/cmd/limekeep/web/gate"
	"limekeep/schedule/agenda"
)

// publisher makes the editions. While it is watched, requests are answered with the
// last one, however long the next one takes; else a request looks by itself
// whether the records have changed.
type publisher struct {
	*Server
	mu      sync.Mutex // one at a time makes an edition or changes what it is made from
	now     atomic.Pointer[edition]
	given   signal // that there is another edition
	watched atomic.Bool
	failing atomic.Bool // whether the last edition could not be made
	wake    chan struct{}
	anew    atomic.Bool // whether the next look makes an edition whatever the records say

	amended []amendment // that the plan may not know of yet; the publisher is locked

	secretMu sync.Mutex
	known    string    // the secret
	asked    time.Time // when it was asked for

	metrics  *gate.Metrics
	modified lastModified

	deletions []deleted // of the last minute, by task apps

	toldVersion int64 // of the edition that other servers were told of last
}

// secretLasts is how long the secret is taken to be the same (assumption).
const secretLasts = time.Second

func newPublisher(s *Server) *publisher {
	return &publisher{Server: s, wake: make(chan struct{}, 1), metrics: gate.NewMetrics()}
}

// current returns the edition to answer with.
func (p *publisher) current(ctx context.Context) (*edition, error) {
	b := p.now.Load()
	if b != nil && p.watched.Load() {
		return b, nil
	}
	unlock, err := p.alone(ctx)
	if err != nil {
		return nil, err
	}
	defer unlock()
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
	return version != b.version || p.today(b) != b.agenda.Today, nil
}

// Renew makes the plan anew and gives it out from then on. While it is made, task
// apps can still tick off; what they tick off stays so in what is given out.
func (s *Server) Renew(ctx context.Context) error {
	p := s.publisher()
	b, err := p.draft(ctx)
	if err != nil {
		return err
	}
	unlock, err := p.alone(ctx)
	if err != nil {
		return err
	}
	defer unlock()
	return p.giveOut(ctx, b)
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
	publish := p.Publisher.Publish
	if !p.Today.IsZero() {
		publish = p.Publisher.Preview
	}
	issue, err := publish(ctx, p.moment())
	if err != nil {
		return nil, err
	}
	b := &edition{agenda: issue.Agenda, version: issue.Version}
	b.forecast.Store(issue.Forecast)
	return b, nil
}

// amendment is a change of what is given out that a record brought, ahead of the plan
// that follows from it.
type amendment struct {
	version int64 // of the records with it
	change  func(*agenda.Agenda)
}

// amend gives out an agenda that is known to have changed, by an entry that was done or
// by marks (nil), ahead of the plan that will follow from it; the publisher is locked.
func (p *publisher) amend(ctx context.Context, was *edition, done *agenda.DoneEntry) error {
	version, err := p.Days.Records.Version(ctx)
	if err != nil {
		return err
	}
	if err := p.share(ctx, version, done); err != nil {
		return err
	}
	p.amended = append(p.amended, amendment{version, doneIn(done)})
	b := &edition{version: was.version, agenda: was.agenda}
	b.forecast.Store(was.forecast.Load())
	err = p.giveOut(ctx, b)
	p.nudge()
	return err
}

// giveOut answers with an edition from now on, unless one of newer records is given
// out already; the publisher is locked. Amendments that the edition does not know of
// yet are made to it.
func (p *publisher) giveOut(ctx context.Context, b *edition) error {
	if now := p.now.Load(); now != nil && now.version > b.version && now.agenda.Today >= b.agenda.Today {
		return nil
	}
	if outdone, err := p.outdone(ctx, b); err != nil || outdone {
		return err // another server has given out one of newer records: the watch makes the same
	}
	if err := p.learn(ctx, b); err != nil {
		return err
	}
	p.amended = slices.DeleteFunc(p.amended, func(a amendment) bool { return a.version <= b.version })
	if len(p.amended) > 0 {
		b.agenda.Entries, b.agenda.Done = slices.Clone(b.agenda.Entries), slices.Clone(b.agenda.Done)
		for _, a := range p.amended {
			a.change(&b.agenda)
		}
	}
	b.files = map[fileKey]*file{}
	b.since = func(key fileKey, tag string) time.Time { return p.modified.of(key, tag, p.Days.Now()) }
	if p.SyncStore != nil {
		if err := p.syncTodos(ctx, b); err != nil {
			return err
		}
	}
	if err := p.tellVersion(ctx, b); err != nil {
		return err
	}
	p.now.Store(b)
	p.given.tell()
	return nil
}

// nudge asks the watch to look now.
func (p *publisher) nudge() {
	select {
	case p.wake <- struct{}{}:
	default: // it is going to
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
