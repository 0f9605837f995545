package schedule

import (
	"context"
	"time"
)

// OwnCalendarStore keeps the calendar of a place's owner, on whose busy times nothing is
// planned. It is state: if it is lost, plans are made without it.
type OwnCalendarStore interface {
	// OwnCalendar returns what is known of the calendar but its text; the zero
	// OwnCalendar where there is none.
	OwnCalendar(ctx context.Context, place string) (OwnCalendar, error)

	// OwnCalendarText returns the text, as it was kept; nil where there is none.
	OwnCalendarText(ctx context.Context, place string) ([]byte, error)

	// SetOwnCalendar keeps a calendar in the place of the one before, with a text of its
	// own or else the text that is there, and counts its version up. The zero
	// OwnCalendar takes it away.
	SetOwnCalendar(ctx context.Context, place string, c OwnCalendar, text []byte) error
}

// OwnCalendar is a calendar of the owner's own.
type OwnCalendar struct {
	Name    string    `json:"name"`              // of the file; empty for one that is fetched
	Address string    `json:"address"`           // that it is fetched from; empty for a file that was brought
	Taken   time.Time `json:"taken"`             // when its text was brought or fetched last; zero where it never was
	Wrong   string    `json:"problem,omitempty"` // why it could not be fetched when it was tried last
	Version int64     `json:"version"`           // counts what was kept
}

// None reports whether there is no calendar.
func (c OwnCalendar) None() bool { return c.Name == "" && c.Address == "" }
