package wear

import (
	"slices"

	"limekeep/schedule/record"
	"limekeep/water"
)

// scaleFacts gathers what a vessel's forecast rests on.
func (r *run) scaleFacts(s *subject, worlds []crossing) *ScaleFacts {
	shape := r.shapes[s.duty.Equipment.ID+"/"+s.vessel.ID]
	line := s.duty.Equipment.Machine.Line
	facts := &ScaleFacts{
		WallCelsius: shape.wallCelsius,
		MgPerLitre:  newPoints(valuesOf(worlds, func(c crossing) float64 { return c.mg })),
		Grams:       newPoints(valuesOf(worlds, func(c crossing) float64 { return c.grams })),
	}
	for _, g := range s.gauges {
		if scale, ok := g.(*scaleGauge); ok {
			facts.Multiplier = newPoints(scale.multipliers)
		}
	}
	r.layerFacts(facts, s, shape, worlds)
	if b, ok := r.boilers[s.duty.Equipment.ID+"/"+s.vessel.ID]; ok {
		facts.Concentrated = newPoints(valuesOf(worlds, func(c crossing) float64 { return c.folds }))
		facts.Drains = r.drains(s, b, facts.Multiplier.Mid)
		now := b.line.between(r.span.today)
		silica := make([]float64, len(worlds))
		for w, c := range worlds {
			silica[w] = water.Solution{Totals: b.water(w, now, c.folds).Water}.Analysis().SilicaMgPerKg
		}
		facts.SilicaMgPerLitre = newPoints(silica)
	}
	course := r.house.Courses[s.duty.Equipment.ID]
	for i := range record.Date(7 * weeksAhead) {
		day := course.On(r.span.today + 1 + i)
		if shape.brews() {
			facts.LitresPerWeek += day.BrewLitres / weeksAhead
		} else {
			facts.LitresPerWeek += (day.SteamLitres + day.HotWaterLitres) / weeksAhead
		}
	}
	if lw := r.waters[line]; lw != nil && lw.Known {
		facts.LastTest = lw.Tests[len(lw.Tests)-1].On
	}
	for _, other := range r.subjects {
		if other.stage != nil && other.duty.Equipment.ID == line && other.stage.Kind.Exchanges() {
			facts.Treated = true
		}
	}
	return facts
}

// elementKJPerK is the heat that an element of home size takes up itself: about
// 0.4 kg of steel at 0.5 kJ/(kg·K). Assumption.
const elementKJPerK = 0.2

// layerFacts says what the deposit does where it lies.
func (r *run) layerFacts(facts *ScaleFacts, s *subject, shape vesselShape, worlds []crossing) {
	n := len(worlds)
	wall, shell := shape.layers(r.house.Draws, s.block())
	conducts := r.house.Draws.Uniforms(s.block(), "conductivity")
	mm, excess, lost, late := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for w, c := range worlds {
		mm[w] = c.grams * wall[w]
		if shape.immersed() {
			excess[w] = water.ElementExcessKelvin(elementKWPerM2, mm[w], scaleConductivity.At(conducts[w]))
			_, late[w] = water.ScaledElement{ElementKJPerK: elementKJPerK, ScaleGrams: c.grams * shape.wallShare,
				ExcessKelvin: excess[w], Watts: shape.watts}.WarmUpLoss()
		}
		if shape.boreMM > 0 {
			lost[w] = 1 - water.OrificeFlowShare(shape.boreMM, min(c.grams*shell[w], shape.boreMM/2))
		}
	}
	facts.MM, facts.ExcessKelvin, facts.FlowLost, facts.WarmUpSeconds = newPoints(mm), newPoints(excess), newPoints(lost), newPoints(late)
	facts.Watts = shape.watts
}

// drainShare and drainDays are the refreshment that DrainFacts is about: half
// of the water each month.
const (
	drainShare = 0.5
	drainDays  = 30
)

// drains works out what monthly draining would do in the world in the middle of
// those that fill the boiler's water with chloride.
func (r *run) drains(s *subject, b *steamWater, multiplier float64) *DrainFacts {
	course := r.house.Courses[s.duty.Equipment.ID]
	m := b.line.between(r.span.today)
	world := r.middleWorld(b, m)
	var facts DrainFacts
	with, without := 1.0, 1.0
	for day := range record.Date(365) {
		use := course.On(r.span.today + 1 + day)
		fed := use.SteamLitres + use.HotWaterLitres
		for _, drained := range []bool{false, true} {
			n, grams := &without, &facts.ScaleWithoutGrams
			if drained {
				n, grams = &with, &facts.ScaleWithGrams
			}
			was := *n
			*n = b.concentrate(world, was, use.SteamLitres, use.HotWaterLitres)
			*grams += multiplier * fed * b.scale(world, m, (was+*n)/2, 0) / 1000
			if drained && (day+1)%drainDays == 0 {
				*grams += multiplier * drainShare * b.waterKg[world] * b.scale(world, m, 1, 0) / 1000
				*n = 1 + (1-drainShare)*(*n-1)
			}
		}
	}
	chloride := func(n float64) float64 {
		return water.Solution{Totals: b.water(world, m, n).Water}.Analysis().ChlorideMgPerKg
	}
	facts.ChlorideWithoutMgPerL, facts.ChlorideWithMgPerL = chloride(without), chloride(with)
	return &facts
}

// middleWorld is the world whose boiler would hold the middle amount of
// chloride.
func (r *run) middleWorld(b *steamWater, m moment) int {
	order := make([]int, r.house.Draws.Worlds)
	chloride := make([]float64, len(order))
	for w := range order {
		order[w], chloride[w] = w, b.water(w, m, 1).Water.Chloride
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
