package wear

import (
	"slices"

	"limekeep/schedule/record"
)

// DrainEffect is what drawing half of a steam boiler's water down each month
// would do over a year at today's pace, in the middle world.
type DrainEffect struct {
	ChlorideWithoutMgPerL, ChlorideWithMgPerL float64 // at the end
	ScaleWithoutGrams, ScaleWithGrams         float64 // over the year, with the vessel's own multiplier
}

// drainShare and drainDays are the refreshment that DrainEffect is about: half
// of the water each month.
const (
	drainShare = 0.5
	drainDays  = 30
)

// drains works out what monthly draining would do in the world in the middle of
// those that fill the boiler's water with chloride.
func (r *run) drains(v *vesselRun, multiplier float64) *DrainEffect {
	b, course := v.boiler, v.machine.timeline
	now := b.line.undrifted(r.span.today)
	world := r.middleWorld(b, &now)
	offset := b.offset(world)
	var effect DrainEffect
	with, without := 1.0, 1.0
	for day := range record.Date(365) {
		use := course.On(r.span.today + 1 + day)
		fed := use.SteamLitres + use.HotWaterLitres
		for _, drained := range []bool{false, true} {
			n, grams := &without, &effect.ScaleWithoutGrams
			if drained {
				n, grams = &with, &effect.ScaleWithGrams
			}
			was := *n
			*n = b.concentrate(world, was, use.SteamLitres, use.HotWaterLitres)
			*grams += multiplier * fed * b.scale(world, offset, &now, now.drifted, (was+*n)/2, 0) / 1000
			if drained && (day+1)%drainDays == 0 {
				*grams += multiplier * drainShare * b.waterKg[world] * b.scale(world, offset, &now, now.drifted, 1, 0) / 1000
				*n = 1 + (1-drainShare)*(*n-1)
			}
		}
	}
	chloride := func(n float64) float64 {
		return b.analysis(world, &now, n).ChlorideMgPerKg
	}
	effect.ChlorideWithoutMgPerL, effect.ChlorideWithMgPerL = chloride(without), chloride(with)
	return &effect
}

// middleWorld is the world whose boiler would hold the middle amount of
// chloride.
func (r *run) middleWorld(b *steamWater, now *waterState) int {
	order := make([]int, r.house.Draws.Worlds)
	chloride := make([]float64, len(order))
	for w := range order {
		order[w], chloride[w] = w, b.water(w, now, 1).Chloride
	}
	slices.SortStableFunc(order, func(x, y int) int {
		switch {
		case chloride[x] < chloride[y]:
			return -1
		case chloride[x] > chloride[y]:
			return 1
		}
		return x - y
	})
	return order[len(order)/2]
}
