package schedule

import (
	"context"
	"time"
)

// SyncStore keeps what task apps were shown of a place, so that they can be told
// what changed since they last looked. It is state: if it is lost, every app
// fetches everything anew.
type SyncStore interface {
	// SyncState returns the state of a place.
	SyncState(ctx context.Context, place string) (SyncState, error)

	// SetObjects puts objects in the place of those that are there: a tag of its
	// bytes for each name. What differs gets the next number, what is no longer
	// there is gone with it.
	SetObjects(ctx context.Context, place string, tags map[string]string) (SyncState, error)

	// Touch gives an object the next number and counts that it was put right, so
	// that an app that holds another form of it fetches it anew. A name that
	// stands for nothing is passed over.
	Touch(ctx context.Context, place, name string) (SyncState, error)

	// Marks returns what apps did to the entries of a place that no record speaks
	// of, by the entry's UID.
	Marks(ctx context.Context, place string) (map[string]Mark, error)

	// SetMark keeps a mark, or takes it back where it is the zero Mark.
	SetMark(ctx context.Context, place, uid string, m Mark) error
}

// SyncState is the state of a collection of to-dos.
type SyncState struct {
	Epoch   string // made up when counting began
	Number  int64  // of the last change
	Oldest  int64  // what was gone by this number is forgotten
	Objects map[string]SyncObject
}

// SyncObject is what is known of an object.
type SyncObject struct {
	Tag     string // of its bytes, empty where it is gone
	Number  int64  // of the change that made it so
	Touched int    // how often it was put right
}

// Mark is what an app did to an entry.
type Mark struct {
	Kind MarkKind
	At   time.Time
}

// MarkKind tells what a mark says.
type MarkKind string

// Kinds of marks.
const (
	MarkTicked MarkKind = "ticked" // done, of an entry that is no task, such as an order
	MarkHidden MarkKind = "hidden" // deleted: that one occurrence no longer shows
)
