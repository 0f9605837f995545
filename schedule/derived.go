package schedule

import "context"

// DerivedStore keeps what took long to work out from the records of a place, so that
// asking again costs a read. It is state: whatever is lost or damaged is worked out
// anew. Whoever keeps something gives it a key that tells all it follows from, so that
// nothing that is found can be out of date.
type DerivedStore interface {
	// Derived returns what is kept of a kind under a key; nil where nothing is, or
	// what is there is not as it was kept.
	Derived(ctx context.Context, place, kind, key string) ([]byte, error)

	// AllDerived returns all that is kept of a kind, by key, but for what is not as it
	// was kept.
	AllDerived(ctx context.Context, place, kind string) (map[string][]byte, error)

	// KeepDerived keeps something in the place of what its key had. Of a kind no more
	// bytes are kept than most: what was kept first goes first, and what is larger by
	// itself is not kept at all. Where somebody else is writing it gives up at once with
	// an error, since it is worth no wait.
	KeepDerived(ctx context.Context, place, kind, key string, data []byte, most int) error
}
