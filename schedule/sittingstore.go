package schedule

import (
	"context"
	"errors"
	"time"
)

// SittingStore keeps the sittings that were begun at a place, and how far each got.
// It is state: if it is lost, what was written down in them stands.
type SittingStore interface {
	// BegunSittings returns the sittings of a place, the latest first, so many at the
	// most.
	BegunSittings(ctx context.Context, place string, most int) ([]BegunSitting, error)

	// BegunSitting returns one. An id that stands for none is an error that matches
	// record.ErrUnknown.
	BegunSitting(ctx context.Context, place, id string) (BegunSitting, error)

	// KeepSitting keeps a sitting in the place of the version it was made from, 0 for
	// a new one. If that is no longer the one kept, nothing is, and the error matches
	// ErrOtherVersion; nor is a new one kept while another is open.
	KeepSitting(ctx context.Context, place string, s BegunSitting) error
}

// BegunSitting is a sitting that was begun, as it is kept.
type BegunSitting struct {
	ID        string
	Version   int64 // counts how often it was kept
	Begun     time.Time
	Over      bool
	Checklist []byte // in JSON
}

// ErrOtherVersion says that a sitting was gone on with elsewhere.
var ErrOtherVersion = errors.New("the sitting was gone on with elsewhere meanwhile: look again")
