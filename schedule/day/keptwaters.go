package day

import (
	"context"

	"limekeep/schedule/wear"
)

// waterKind is the kind of the waters that are kept.
const waterKind = "water"

// keptWaters keeps the waters of a place, while one forecast is worked out. It
// takes no more than it can hold of what that forecast needs: else what came last would
// push out what the next one asks for first.
type keptWaters struct {
	derived
	ctx  context.Context //nolint:containedctx // it lasts as long as the forecast
	used int             // bytes that this forecast found or put there
}

var _ wear.KeptWaters = (*keptWaters)(nil)

// waters returns where the waters of a day's place are kept; nil for nowhere.
func (d *Day) waters(ctx context.Context) wear.KeptWaters {
	s := d.derived()
	if s.bare() {
		return nil
	}
	return &keptWaters{derived: s, ctx: ctx}
}

// Take returns what is kept under a key.
func (s *keptWaters) Take(key string) []byte {
	named, err := s.key(key)
	if err != nil {
		return nil
	}
	data := s.find(s.ctx, waterKind, named)
	s.used += len(data)
	return data
}

// Put keeps something, while there is room.
func (s *keptWaters) Put(key string, data []byte) {
	named, err := s.key(key)
	if err != nil || s.used+len(data) > waterBytes {
		return
	}
	s.used += len(data)
	s.keep(s.ctx, waterKind, named, data, waterBytes)
}
