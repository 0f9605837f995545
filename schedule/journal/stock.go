package journal

import (
	"context"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// SetStock writes down what is there of an item, came of it or how long an order
// takes. The name may be as much of it as no other item shares.
func (j *Journal) SetStock(ctx context.Context, d *day.Day, s record.Stock) (Receipt, error) {
	var err error
	if s.Item, err = d.Item(s.Item); err != nil {
		return Receipt{}, err
	}
	if err := s.Validate(); err != nil {
		return Receipt{}, err
	}
	return j.write(ctx, d, d.Today, s, say.Stock(s))
}
