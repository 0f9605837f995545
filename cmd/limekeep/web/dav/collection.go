package dav

import (
	"context"
	"time"

	"github.com/emersion/go-ical"
)

// Collection is the one collection of to-dos that a Server shows. It answers
// from memory, and it alone decides what an app may change.
type Collection interface {
	// Snapshot returns the collection as it stands. What it points to is never
	// changed afterwards, so that it can be read without a lock.
	Snapshot(ctx context.Context) (*Snapshot, error)

	// Put takes an object that an app sends, valid by RFC 4791, 4.1. Match is
	// called with the object as it stands, nil where there is none, before
	// anything is done, with the collection locked; its error is given back. A
	// refusal is a *Refusal.
	Put(ctx context.Context, app, name string, sent *ical.Calendar, match func(*Object) error) (Taken, error)

	// Delete takes an object away, as Put does.
	Delete(ctx context.Context, app, name string, match func(*Object) error) error
}

// Snapshot is a collection at one time.
type Snapshot struct {
	Name        string // for people
	Description string
	Color       string // #RRGGBBAA, in which apps show it; none where empty
	Zone        []byte // VCALENDAR with the place's VTIMEZONE, for calendar-timezone
	MayAdd      bool   // whether apps may add objects of their own

	// Epoch and Number make the sync token. Numbers count the changes of the
	// collection; a token of another epoch, of a number not reached yet or below
	// Oldest is of no use any more (RFC 6578, 3.2).
	Epoch  string
	Number int64
	Oldest int64

	Objects []Object // by name
	Gone    []Gone   // objects that are no longer there, since Oldest, by name
}

// Object is a to-do as it is stored: one calendar object resource.
type Object struct {
	Name     string // last part of its address, such as machine.descale.steam.7.ics
	ETag     string // without quotes
	Data     []byte // iCalendar, folded, UTF-8
	Calendar *ical.Calendar
	Modified time.Time
	Number   int64 // of the change that made it what it is
}

// entityTag returns the tag as headers and properties have it (RFC 9110, 8.8.3).
func (o *Object) entityTag() string { return `"` + o.ETag + `"` }

// Gone is an object that is no longer there.
type Gone struct {
	Name   string
	Number int64 // of the change that took it away
}

// Taken tells what became of a sent object.
type Taken struct {
	Created bool
	// Object is what is stored now. Where it is not what was sent, the answer
	// carries no ETag, and the app fetches it anew (RFC 4791, 5.3.4).
	Object Object
	AsSent bool
}

// Refusal says why something an app asked for is not done. Condition is the
// name of the standard's precondition that was not met.
type Refusal struct { //nolint:errname // an answer of the protocol, which happens to end a call as an error does
	Condition Condition
	Why       string // for people, said in the answer's body
}

// Error returns the reason.
func (r *Refusal) Error() string { return r.Why }

// Condition is a precondition of WebDAV or CalDAV, as an error element names it.
type Condition string

// Conditions that a refusal can name.
const (
	NeedPrivileges     Condition = "DAV: need-privileges"                                         // RFC 3744, 7.1.1
	ValidCalendarData  Condition = "urn:ietf:params:xml:ns:caldav valid-calendar-data"            // RFC 4791, 5.3.2.1
	ValidObject        Condition = "urn:ietf:params:xml:ns:caldav valid-calendar-object-resource" // RFC 4791, 5.3.2.1
	SupportedComponent Condition = "urn:ietf:params:xml:ns:caldav supported-calendar-component"   // RFC 4791, 5.3.2.1
	NoUIDConflict      Condition = "urn:ietf:params:xml:ns:caldav no-uid-conflict"                // RFC 4791, 5.3.2.1
	MaxResourceSize    Condition = "urn:ietf:params:xml:ns:caldav max-resource-size"              // RFC 4791, 5.3.2.1
)
