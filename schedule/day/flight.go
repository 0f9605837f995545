package day

import (
	"context"
	"fmt"
	"runtime/debug"
)

// flight is a forecast that is being worked out. Whoever asks for it meanwhile
// waits for the one; when nobody waits any more it is given up.
type flight struct {
	own     engagements // the owner's own engagements that it is for
	done    chan struct{}
	stop    context.CancelFunc
	waiting int // how many; guarded by the day

	forecast *Forecast // from when it is done
	err      error
}

// join returns the flight of a forecast, and starts it where there is none; the day
// is locked.
func (d *Day) join(ctx context.Context, own engagements) *flight {
	if d.flight == nil || !d.flight.own.same(own) {
		// Whoever asked first may leave while others wait.
		working, stop := context.WithCancel(context.WithoutCancel(ctx))
		d.flight = &flight{own: own, done: make(chan struct{}), stop: stop}
		go d.fly(working, d.flight)
	}
	d.flight.waiting++
	return d.flight
}

// fly works the forecast out. A panic becomes an error, which whoever asked can
// answer with.
func (d *Day) fly(ctx context.Context, f *flight) {
	defer f.stop()
	defer close(f.done)
	defer func() {
		if what := recover(); what != nil {
			f.err = fmt.Errorf("the forecast broke down: %v\n%s", what, debug.Stack())
		}
		d.mu.Lock()
		defer d.mu.Unlock()
		if f.err == nil {
			d.forecast = f.forecast
		}
		if d.flight == f {
			d.flight = nil
		}
	}()
	if f.err = d.opener.turn(ctx); f.err != nil {
		return
	}
	defer d.opener.turnOver()
	f.forecast, f.err = d.workOut(ctx, f.own)
}

// wait waits for a flight, or until the context ends.
func (d *Day) wait(ctx context.Context, f *flight) (*Forecast, error) {
	select {
	case <-f.done:
		return f.forecast, f.err
	case <-ctx.Done():
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if f.waiting--; f.waiting == 0 {
		f.stop()
		if d.flight == f {
			d.flight = nil // who asks from now on needs one that is not given up
		}
	}
	return nil, context.Cause(ctx)
}
