package recur

import (
	"context"
	"errors"
)

// ErrTooLong says that a recurrence was not followed to its end, since that takes
// more steps than its Budget had.
var ErrTooLong = errors.New("it takes too many steps to say when it recurs")

// Budget is how many steps the expansion of one recurrence, or of several
// together, may take. A step looks at one interval, day or time, and takes a few
// dozen nanoseconds.
type Budget struct{ left int }

// NewBudget returns a budget of a number of steps.
func NewBudget(steps int) *Budget { return &Budget{left: max(0, steps)} }

// Left returns how many steps are left.
func (b *Budget) Left() int { return b.left }

// stepsBetweenLooks is how many steps go by before a context is looked at again.
const stepsBetweenLooks = 1 << 12

// spend counts steps. Its error is ErrTooLong or that of the context.
func (b *Budget) spend(ctx context.Context, steps int) error {
	if steps > b.left {
		b.left = 0
		return ErrTooLong
	}
	before := b.left / stepsBetweenLooks
	if b.left -= steps; b.left/stepsBetweenLooks != before {
		return ctx.Err()
	}
	return nil
}
