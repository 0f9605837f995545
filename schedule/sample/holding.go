package sample

import (
	"context"
	"sync/atomic"
	"time"

	"limekeep/schedule/plan"
)

// Holding makes the forecasts of a kitchen wait while it holds.
type Holding struct {
	held    atomic.Bool
	release chan struct{}
}

// HoldForecasts lets a test hold up the forecasts of a kitchen, until Release: each
// asks for the owner's own calendar first.
func HoldForecasts(k *Kitchen) *Holding {
	h := &Holding{release: make(chan struct{})}
	k.Busy = func(ctx context.Context, _ string, _ plan.Busy, _ *time.Location) ([]plan.Busy, error) {
		if h.held.Load() {
			select {
			case <-h.release:
			case <-ctx.Done():
			}
		}
		return nil, nil
	}
	return h
}

// Hold holds up all that begin from now on.
func (h *Holding) Hold() { h.held.Store(true) }

// Release lets them go on, for good.
func (h *Holding) Release() {
	h.held.Store(false)
	close(h.release)
}
