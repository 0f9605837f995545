package plan

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"
)

// made plans for somebody who waits for it.
func made(r *Request) Plan {
	p, err := Make(context.Background(), r)
	if err != nil {
		panic(err) // of a context that has no end
	}
	return p
}

// A plan that nobody waits for any more is given up with the reason, after a few looks
// at most.
func TestPlanIsGivenUp(t *testing.T) {
	gone := errors.New("gone")
	ctx, end := context.WithCancelCause(context.Background())
	end(gone)
	r := household(rand.New(rand.NewPCG(1, 7)))
	r.Effort = 1 << 40 // without an end it would look on and on
	if p, err := Make(ctx, r); !errors.Is(err, gone) || len(p.Sittings) != 0 {
		t.Errorf("%d sittings, %v", len(p.Sittings), err)
	}
}
