package schedule

import (
	"context"
	"time"
)

// Shared is what several servers of the same records have in common besides the records,
// so that each can answer for any other. One server alone keeps it in its own memory.
type Shared interface {
	// Alone waits until no other server holds a name, and holds it until the function
	// that it returns is called.
	Alone(ctx context.Context, name string) (release func(), err error)

	// Remember keeps a value under a kind and key for a while; Recall returns it as long
	// as it is kept, RecallAll those of a kind by key. Forget takes it out.
	Remember(ctx context.Context, kind, key, value string, lasts time.Duration) error
	Recall(ctx context.Context, kind, key string) (value string, ok bool, err error)
	RecallAll(ctx context.Context, kind string) (map[string]string, error)
	Forget(ctx context.Context, kind, key string) error

	// SyncNumber returns the number of the last change of a place's to-dos, as SyncState
	// has it; 0 where there was none.
	SyncNumber(ctx context.Context, place string) (int64, error)
}

// FormKind is the kind under which it is remembered which record a form wrote, by the
// form's token.
const FormKind = "form"

// FormLasts is how long a form that was taken is remembered (assumption: nobody sends a
// page of yesterday again).
const FormLasts = 24 * time.Hour

type formKey struct{}

// WithForm says by which form's token records are written from now on: they are kept
// together with the token, both or neither, where Shared is kept with the records.
func WithForm(ctx context.Context, token string) context.Context {
	return context.WithValue(ctx, formKey{}, token)
}

// FormOf returns the token that records are written by; empty for none.
func FormOf(ctx context.Context) string {
	token, _ := ctx.Value(formKey{}).(string)
	return token
}
