package sample

import (
	"bytes"
	"context"
	"sync"

	"limekeep/schedule"
)

// Derived keeps what was worked out in memory, as a store must keep it, and counts.
type Derived struct {
	mu     sync.Mutex
	kept   map[derivedKey][]byte
	Found  int // how often something was asked for that is kept
	Missed int // how often something was that is not
}

type derivedKey struct{ place, kind, key string }

var _ schedule.DerivedStore = (*Derived)(nil)

// Derived returns what is kept under a key.
func (m *Derived) Derived(_ context.Context, place, kind, key string) ([]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	data, ok := m.kept[derivedKey{place, kind, key}]
	if !ok {
		m.Missed++
		return nil, nil
	}
	m.Found++
	return bytes.Clone(data), nil
}

// AllDerived returns all that is kept of a kind.
func (m *Derived) AllDerived(_ context.Context, place, kind string) (map[string][]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	all := map[string][]byte{}
	for k, data := range m.kept {
		if k.place == place && k.kind == kind {
			all[k.key] = bytes.Clone(data)
		}
	}
	return all, nil
}

// KeepDerived keeps something, however much there is.
func (m *Derived) KeepDerived(_ context.Context, place, kind, key string, data []byte, _ int) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.kept == nil {
		m.kept = map[derivedKey][]byte{}
	}
	m.kept[derivedKey{place, kind, key}] = bytes.Clone(data)
	return nil
}

// Damage changes all that is kept.
func (m *Derived) Damage(change func([]byte) []byte) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for k, data := range m.kept {
		m.kept[k] = change(data)
	}
}

// Keys returns how many things are kept.
func (m *Derived) Keys() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return len(m.kept)
}
