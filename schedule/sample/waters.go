package sample

import (
	"bytes"
	"context"
	"sync"

	"limekeep/schedule"
)

// waters keeps what water tests stand for, whichever kitchen they are of, and nothing else.
type waters struct {
	mu   sync.Mutex
	kept map[string][]byte
}

// allWaters are those of the kitchens of this process that share them.
var allWaters waters

var _ schedule.DerivedStore = (*waters)(nil)

// waterKind is the kind that waters are kept under.
const waterKind = "water"

// Derived returns the waters that are kept under a key.
func (w *waters) Derived(_ context.Context, _, kind, key string) ([]byte, error) {
	if kind != waterKind {
		return nil, nil
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	return bytes.Clone(w.kept[key]), nil
}

// AllDerived returns nothing: plans are made anew.
func (w *waters) AllDerived(context.Context, string, string) (map[string][]byte, error) {
	return nil, nil
}

// KeepDerived keeps waters.
func (w *waters) KeepDerived(_ context.Context, _, kind, key string, data []byte, _ int) error {
	if kind != waterKind {
		return nil
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.kept == nil {
		w.kept = map[string][]byte{}
	}
	w.kept[key] = bytes.Clone(data)
	return nil
}
