package wear

import (
	"crypto/sha256"
	"encoding/binary"
	"math"
	"slices"
)

// unchanged is what the last forecast said of each duty, by all that it depends on: what
// a new forecast depends on in the same way it would say again, to the bit, since its
// draws are keyed by what they are for.
//
// A duty depends on itself, its services and the checks of its equipment, and on the
// world that its equipment lives in: use, water, cartridges and the refreshing of
// boilers. So a service at the grinder leaves the boilers as they are; a water test, or
// a log of use, asks for everything anew.
type unchanged struct {
	outcomes map[string]Outcome
	learned  map[string]lesson
}

// lesson is what findings taught of a duty's first gauge.
type lesson struct {
	knowledge knowledge
	learned   *Learned
}

func newUnchanged() unchanged {
	return unchanged{outcomes: map[string]Outcome{}, learned: map[string]lesson{}}
}

// last returns what the last forecast said.
func (m *Memory) last() unchanged {
	if m == nil {
		return unchanged{}
	}
	m.mutex.Lock()
	defer m.mutex.Unlock()
	return m.unchanged
}

// keep takes a forecast as the last one.
func (m *Memory) keep(u unchanged) {
	if m == nil {
		return
	}
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.unchanged = u
}

// ofOwn gives outcomes that may be changed without changing what is remembered.
func (o Outcome) ofOwn() Outcome {
	o.Again, o.Gauges = slices.Clone(o.Again), slices.Clone(o.Gauges)
	return o
}

// worldKey tells all that the worlds are played from, as it now stands.
func (r *run) worldKey() string {
	if r.given == nil {
		r.given = r.givenKey()
	}
	parts := []any{r.given}
	for _, m := range r.machines {
		for _, v := range m.vessels {
			if v.boiler != nil {
				parts = append(parts, v.boiler.left)
			}
		}
	}
	for _, l := range r.lines {
		for _, x := range l.exchangers {
			parts = append(parts, x.changes)
			if x.duty != nil {
				parts = append(parts, x.duty.changes, x.duty.Duty.Past, x.duty.base)
			}
		}
	}
	key := sha256.Sum256([]byte(keyOf(parts)))
	return string(key[:])
}

// givenKey tells what of it stays the same throughout a run.
func (r *run) givenKey() []byte {
	h := r.house
	parts := []any{h.Draws, h.Today, h.Again, h.ModelLogSD, h.Courses, r.grid.knots, h.Equipment, h.Lines, h.Tests, h.Absences, h.Bags}
	for _, m := range r.machines {
		parts = append(parts, m.timeline.First, m.timeline.Spread, daysKey(m))
	}
	key := sha256.Sum256([]byte(keyOf(parts)))
	return key[:]
}

// daysKey tells what a machine's use is on each day.
func daysKey(m *machineRun) []byte {
	const bytes = 8*8 + 1 // of a day
	all := make([]byte, 0, bytes*len(m.timeline.Days))
	for _, d := range m.timeline.Days {
		for _, x := range [...]float64{d.Shots, d.Kilograms, d.BrewLitres, d.SteamLitres, d.HotWaterLitres, d.GuessedSteamLitres, d.GuessedHotWaterLitres, d.HotHours} {
			all = binary.LittleEndian.AppendUint64(all, math.Float64bits(x))
		}
		known := byte(0)
		if d.Known() {
			known = 1
		}
		all = append(all, known)
	}
	key := sha256.Sum256(all)
	return key[:]
}

// dutyKey tells all that a duty's outcome depends on, in worlds known by their key.
func (r *run) dutyKey(d *dutyRun, world string) string {
	parts := []any{[]byte(world), d.Duty, d.services, d.checks}
	if d.vessel != nil {
		parts = append(parts, r.scaledFrom(d.vessel)) // to sum up from elsewhere rounds otherwise
	}
	key := sha256.Sum256([]byte(keyOf(parts)))
	return string(key[:])
}

// unknownYet leaves those duties of whose outcome the last forecast says nothing; the
// others get theirs. It returns their keys as well.
func (r *run) unknownYet(duties []*dutyRun) (left []*dutyRun, keys []string) {
	if r.house.Memory == nil || len(duties) == 0 {
		return duties, make([]string, len(duties))
	}
	world := r.worldKey()
	for _, d := range duties {
		key := r.dutyKey(d, world)
		if o, ok := r.before.outcomes[key]; ok {
			d.outcome = o.ofOwn()
			r.after.outcomes[key] = o
			continue
		}
		left, keys = append(left, d), append(keys, key)
	}
	return left, keys
}
