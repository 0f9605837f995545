package wear

import (
	"context"
	"errors"
	"runtime"
	"sync/atomic"
	"testing"
)

// A forecast says why it was given up, and gives nothing half done.
func TestForecastStops(t *testing.T) {
	enough := errors.New("enough")
	ctx, stop := context.WithCancelCause(t.Context())
	stop(enough)
	outcomes, err := Forecast(ctx, newKitchen(t).household())
	if !errors.Is(err, enough) || outcomes != nil {
		t.Errorf("%d outcomes and %v of a forecast that was given up", len(outcomes), err)
	}
}

// looks counts how often a context is asked whether to stop, and stops at one of them.
type looks struct {
	context.Context
	count, at atomic.Int64
	stop      func()
}

// Err counts.
func (l *looks) Err() error {
	if l.count.Add(1) == l.at.Load() {
		l.stop()
	}
	return l.Context.Err()
}

// A forecast of however many worlds looks before each whether it is to stop, and then plays at
// most one more for each worker.
func TestForecastLooksBeforeEachWorld(t *testing.T) {
	const worlds = 60
	enough := errors.New("enough")
	count := func(at int64) (int64, error) {
		ctx, stop := context.WithCancelCause(t.Context())
		defer stop(nil)
		house := newKitchen(t).household()
		house.Draws.Worlds, house.Memory = worlds, nil // what is remembered takes no looks
		l := &looks{Context: ctx, stop: func() { stop(enough) }}
		l.at.Store(at)
		_, err := Forecast(l, house)
		return l.count.Load(), err
	}
	whole, err := count(-1)
	if err != nil || whole < worlds {
		t.Fatalf("%d looks for %d worlds, %v", whole, worlds, err)
	}
	for _, at := range []int64{1, whole / 2, whole - 1} {
		n, err := count(at)
		if !errors.Is(err, enough) {
			t.Errorf("stopped at look %d of %d, it ends with %v after %d", at, whole, err, n)
		}
		if most := int64(runtime.GOMAXPROCS(0)) + 1; n-at > most {
			t.Errorf("stopped at look %d of %d, it went on for %d, want at most %d", at, whole, n-at, most)
		}
	}
}
