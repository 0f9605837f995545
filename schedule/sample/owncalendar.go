package sample

import (
	"context"
	"sync"

	"limekeep/schedule"
)

// OwnCalendars keeps calendars of owners in memory, as a store must keep them.
type OwnCalendars struct {
	mu    sync.Mutex
	all   map[string]schedule.OwnCalendar
	texts map[string][]byte
}

var _ schedule.OwnCalendarStore = (*OwnCalendars)(nil)

// OwnCalendar returns what is known of one.
func (m *OwnCalendars) OwnCalendar(_ context.Context, place string) (schedule.OwnCalendar, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.all[place], nil
}

// OwnCalendarText returns its text.
func (m *OwnCalendars) OwnCalendarText(_ context.Context, place string) ([]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.texts[place], nil
}

// SetOwnCalendar keeps one in the place of the one before.
func (m *OwnCalendars) SetOwnCalendar(_ context.Context, place string, c schedule.OwnCalendar, text []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.all == nil {
		m.all, m.texts = map[string]schedule.OwnCalendar{}, map[string][]byte{}
	}
	c.Version = m.all[place].Version + 1
	m.all[place] = c
	if text != nil || c.None() {
		m.texts[place] = text
	}
	return nil
}
