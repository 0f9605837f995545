package wear

import (
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Grinding is what a grinder is taken to grind of what a machine brews that others grind
// for as well.
type Grinding struct {
	Machine string   // id
	With    []string // ids of the other grinders
	Share   figure.Percentiles
	ByBags  bool // the bags that went through each say so; else equal shares are assumed
}

// How far the shares of grinders that serve one machine lie from one another, as log
// standard deviations of each. Both are assumptions: of two of whom nobody says more, one
// grinds 29 to 71 per cent in eight of ten places.
const (
	grindingLogSD = 0.5
	baggedLogSD   = 0.15
)

// grinding is how the grinders of a machine share what it brews.
type grinding struct {
	grinders []*grinderRun
	from     []int       // by grinder: the first step in which it is there
	weights  [][]float64 // by grinder: one a world
	byBags   bool
}

// grindingOf returns how the grinders of a machine share its shots; nil where one alone
// grinds them all. They share them alike, or as the bags went that each ground, where
// bags are written down of each and they serve the same machines.
func (r *run) grindingOf(m *machineRun) *grinding {
	s := &grinding{byBags: true}
	for _, g := range r.grinders {
		if slices.Contains(g.serves, m) {
			s.grinders = append(s.grinders, g)
		}
	}
	if len(s.grinders) < 2 {
		return nil
	}
	served := func(g *grinderRun) []string { return slices.Sorted(slices.Values(g.Grinder.Serves)) }
	for _, g := range s.grinders {
		s.byBags = s.byBags && r.house.Bags[g.ID] > 0 && slices.Equal(served(g), served(s.grinders[0]))
	}
	for _, g := range s.grinders {
		middle, sd := 1.0, grindingLogSD
		if s.byBags {
			middle, sd = r.house.Bags[g.ID], baggedLogSD
		}
		weights := figure.LogNormal(r.house.Draws.Uniforms("part/"+g.ID, "share of "+m.ID), sd)
		for w := range weights {
			weights[w] *= middle
		}
		s.weights = append(s.weights, weights)
		s.from = append(s.from, min(r.grid.at(g.Bought), r.grid.steps()-1))
	}
	first := slices.Min(s.from) // before anybody wrote one down, all are taken to have been there
	for i, from := range s.from {
		if from == first {
			s.from[i] = 0
		}
	}
	return s
}

// share returns what a grinder grinds of a machine's shots in a step of a world, 0 to 1.
func (s *grinding) share(g *grinderRun, world, step int) float64 {
	if s == nil {
		return 1
	}
	own, sum := 0.0, 0.0
	for i, other := range s.grinders {
		if step < s.from[i] {
			continue
		}
		sum += s.weights[i][world]
		if other == g {
			own = s.weights[i][world]
		}
	}
	return own / sum
}

// shared tells of the machines that a grinder shares with others.
func (g *grinderRun) shared(r *run) []Grinding {
	var all []Grinding
	for _, m := range g.serves {
		if m.grinding == nil {
			continue
		}
		shares := make([]float64, r.house.Draws.Worlds)
		for w := range shares {
			shares[w] = m.grinding.share(g, w, r.grid.steps()-1)
		}
		s := Grinding{Machine: m.ID, Share: figure.OverInPlace(shares), ByBags: m.grinding.byBags}
		for _, other := range m.grinding.grinders {
			if other != g {
				s.With = append(s.With, other.ID)
			}
		}
		all = append(all, s)
	}
	return all
}

// grinderRun is a grinder in a forecast under way.
type grinderRun struct {
	record.Equipment
	slot   int
	serves []*machineRun // those at the place: a machine that left it grinds no more
}

// follows reports whether a grinder grinds all that its only machine brews.
func (g *grinderRun) follows() bool { return len(g.serves) == 1 && g.serves[0].grinding == nil }

// begin sets a grinder up: it grinds what its only machine brews, if it has one that no other
// grinds for.
func (g *grinderRun) begin(w *worldState, r *run) {
	w.exposure[g.slot] = r.newCumulative()
	switch {
	case len(g.serves) == 0:
	case g.follows():
		of := w.exposure[g.serves[0].slot]
		w.exposure[g.slot][care.OfShots], w.exposure[g.slot][care.OfKilograms] = of[care.OfShots], of[care.OfKilograms]
	default:
		w.exposure[g.slot] = r.newCumulative(care.OfShots, care.OfKilograms)
	}
}

// play adds up what a grinder grinds for several machines, or as one of several.
func (g *grinderRun) play(w *worldState, r *run, world int) {
	if len(g.serves) == 0 || g.follows() {
		return
	}
	shots, kilograms := w.exposure[g.slot][care.OfShots], w.exposure[g.slot][care.OfKilograms]
	for i := range r.grid.steps() {
		var shot, ground float64
		for _, m := range g.serves {
			drawn := &w.drawn[m.index]
			share := m.grinding.share(g, world, i)
			shot += share * drawn.shots[i]
			ground += share * drawn.kilograms[i]
		}
		shots[i+1], kilograms[i+1] = shots[i]+shot, kilograms[i]+ground
	}
}

// ground reports whether a gauge counts what is ground.
func ground(g care.BoundGauge) bool { return g.Driver == care.ByShots || g.Driver == care.ByKilograms }
