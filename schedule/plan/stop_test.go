package plan

import (
	"context"
	"errors"
	"math/rand/v2"
	"sync/atomic"
	"testing"
)

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

// A search looks more often whether it is to stop the longer it goes on, and what it still
// does when it is to stop does not grow with how long it would have gone on.
func TestSearchLooksOften(t *testing.T) {
	enough := errors.New("enough")
	count := func(effort int, at int64) (int64, error) {
		ctx, stop := context.WithCancelCause(t.Context())
		defer stop(nil)
		l := &looks{Context: ctx, stop: func() { stop(enough) }}
		l.at.Store(at)
		r := household(rand.New(rand.NewPCG(1, 7)))
		r.Effort = effort
		_, err := Make(l, r)
		return l.count.Load(), err
	}
	var wholes, afters [2]int64
	for i, effort := range []int{1 << 20, 1 << 22} {
		var err error
		if wholes[i], err = count(effort, -1); err != nil {
			t.Fatal(err)
		}
		for _, at := range []int64{1, wholes[i] / 2, wholes[i] - 1} {
			n, err := count(effort, at)
			if !errors.Is(err, enough) {
				t.Errorf("stopped at look %d of %d, it ends with %v", at, wholes[i], err)
			}
			afters[i] = max(afters[i], n-at)
		}
	}
	if wholes[1] < 2*wholes[0] {
		t.Errorf("%d looks, and %d with four times the effort", wholes[0], wholes[1])
	}
	if afters[1] > 2*afters[0] {
		t.Errorf("%d looks once it is to stop, and %d with four times the effort", afters[0], afters[1])
	}
}
