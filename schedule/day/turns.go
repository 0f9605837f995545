package day

import "context"

// Turns has forecasts worked out one after the other, of however many places: one keeps
// all processors busy, and the worlds of several would only fill the memory.
type Turns struct{ at chan struct{} }

// NewTurns returns turns of which nobody has one yet.
func NewTurns() *Turns { return &Turns{make(chan struct{}, 1)} }

// wait waits for the next turn, or returns why it gave up.
func (t *Turns) wait(ctx context.Context) error { return take(ctx, t.at) }

// over ends a turn.
func (t *Turns) over() { <-t.at }
