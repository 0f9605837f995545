package web

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// answering is what is known of a request besides what it asks: how long it may wait
// for a forecast, and what it was answered from.
type answering struct {
	written  int64         // the record whose forecast is worth waiting for; 0 for none
	patience time.Duration // how long
	signedIn bool          // whether it comes from a browser that is signed in
	person   *Person       // who sends it; nil for the owner
	older    bool          // whether it was answered from an older forecast than the records
}

type answeringKey struct{}

// Times that a request waits for a forecast of the newest records before it is
// answered from the last one. Assumptions.
const (
	pagePatience = time.Second      // of a page that a form leads to
	jsonPatience = 10 * time.Second // of a program, which looks once
)

// answer lets a page know what it is answered from, and has forms looked at at once.
func (h *handler) answer(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a := &answering{}
		if id, err := strconv.ParseInt(r.URL.Query().Get("written"), 10, 64); err == nil && id > 0 {
			a.written, a.patience = id, pagePatience
		}
		answered := r.WithContext(context.WithValue(r.Context(), answeringKey{}, a))
		defer func() { r.Pattern = answered.Pattern }() // for the log
		next.ServeHTTP(w, answered)
		if r.Method == http.MethodPost {
			h.publisher.nudge()
		}
	})
}

// answeringOf returns what is known of the request of a context.
func answeringOf(ctx context.Context) *answering {
	if a, ok := ctx.Value(answeringKey{}).(*answering); ok {
		return a
	}
	return &answering{}
}

// atHand returns the forecast that the publisher worked out last, so that no page
// waits for one; nil where there is none to answer with: the server is not watched, a
// new day has begun, or the last one could not be made.
func (p *publisher) atHand(ctx context.Context) (*day.Forecast, error) {
	if !p.watched.Load() || p.failing.Load() {
		return nil, nil
	}
	version, err := p.Days.Records.Version(ctx)
	if err != nil {
		return nil, err
	}
	a := answeringOf(ctx)
	if a.patience > 0 && a.written <= version {
		p.await(ctx, version, a.patience)
	}
	b := p.now.Load()
	if b == nil || b.agenda.Today != p.today(b) {
		return nil, nil
	}
	a.older = b.version < version
	return b.forecast.Load(), nil
}

// today returns the day at the place of an edition.
func (p *publisher) today(b *edition) record.Date {
	if !p.Today.IsZero() {
		return p.Today
	}
	return record.DateOf(p.Days.Now().In(b.agenda.Zone))
}

// await waits a while for an edition of a version of the records.
func (p *publisher) await(ctx context.Context, version int64, patience time.Duration) {
	p.nudge()
	timer := time.NewTimer(patience)
	defer timer.Stop()
	for {
		given := p.given.wait()
		if b := p.now.Load(); b != nil && b.version >= version {
			return
		}
		select {
		case <-given:
		case <-timer.C:
			return
		case <-ctx.Done():
			return
		}
	}
}

// foreseeOn is foresee for a day that is open already.
func (h *handler) foreseeOn(ctx context.Context, opened *day.Day) (*day.Forecast, error) {
	if f, err := h.publisher.atHand(ctx); f != nil || err != nil {
		return f, err
	}
	return opened.Forecast(ctx)
}
