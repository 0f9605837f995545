package sample

import (
	"context"
	"sync"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// Sittings keeps begun sittings in memory, as a store must keep them.
type Sittings struct {
	mu  sync.Mutex
	all []schedule.BegunSitting // the latest first
}

var _ schedule.SittingStore = (*Sittings)(nil)

// BegunSittings returns the sittings, those that go on first.
func (m *Sittings) BegunSittings(_ context.Context, _ string, most int) ([]schedule.BegunSitting, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var open, over []schedule.BegunSitting
	for _, s := range m.all {
		if s.Over {
			over = append(over, s)
		} else {
			open = append(open, s)
		}
	}
	all := append(open, over...)
	return all[:min(most, len(all))], nil
}

// BegunSitting returns one.
func (m *Sittings) BegunSitting(_ context.Context, _, id string) (schedule.BegunSitting, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, s := range m.all {
		if s.ID == id {
			return s, nil
		}
	}
	return schedule.BegunSitting{}, &record.UnknownError{What: "sitting", Name: id}
}

// KeepSitting keeps one in the place of the version it was made from.
func (m *Sittings) KeepSitting(_ context.Context, _ string, s schedule.BegunSitting) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i := range m.all {
		switch {
		case m.all[i].ID == s.ID && m.all[i].Version == s.Version && s.Version > 0:
			s.Version++
			m.all[i] = s
			return nil
		case m.all[i].ID == s.ID, s.Version == 0 && !m.all[i].Over:
			return schedule.ErrOtherVersion
		}
	}
	if s.Version != 0 {
		return schedule.ErrOtherVersion
	}
	s.Version = 1
	m.all = append([]schedule.BegunSitting{s}, m.all...)
	return nil
}
