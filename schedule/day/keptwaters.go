package day

import (
	"context"

	"limekeep/schedule"
	"limekeep/schedule/wear"
)

// waterKind is the kind of the waters that are kept.
const waterKind = "water"

// keptWaters keeps the waters of a place and of its district, while one forecast is worked
// out. It takes no more than it can hold of what that forecast needs: else what came last
// would push out what the next one asks for first.
type keptWaters struct {
	derived
	ctx  context.Context //nolint:containedctx // it lasts as long as the forecast
	used map[string]int  // bytes that this forecast found or put there, by district
}

// Mains remembers what the water tests of districts stand for, from one place to the next
// on the same mains. The zero Mains is empty and ready; it may be used by several at once.
type Mains struct{ waters wear.Memory }

// districtWaterBytes is how much is kept of a district's waters (assumption: lines of a
// dozen layouts that differ, as waterBytes holds one of a place).
const districtWaterBytes = 12 * waterBytes

var _ wear.KeptWaters = (*keptWaters)(nil)

// waters returns where the waters of a day's place are kept; nil for nowhere.
func (d *Day) waters(ctx context.Context) wear.KeptWaters {
	s := d.derived()
	if s.bare() {
		return nil
	}
	return &keptWaters{derived: s, ctx: ctx, used: map[string]int{}}
}

// of returns where the waters of a district are kept, or the place's own where none is
// named, and how many bytes of them.
func (s *keptWaters) of(district string) (in derived, most int) {
	if district == "" {
		return s.derived, waterBytes
	}
	return derived{s.opener, schedule.DistrictBook(district)}, districtWaterBytes
}

// Take returns what is kept under a key.
func (s *keptWaters) Take(district, key string) []byte {
	in, _ := s.of(district)
	named, err := in.key(key)
	if err != nil {
		return nil
	}
	data := in.find(s.ctx, waterKind, named)
	s.used[district] += len(data)
	return data
}

// Put keeps something, while there is room.
func (s *keptWaters) Put(district, key string, data []byte) {
	in, most := s.of(district)
	named, err := in.key(key)
	if err != nil || s.used[district]+len(data) > most {
		return
	}
	s.used[district] += len(data)
	in.keep(s.ctx, waterKind, named, data, most)
}
