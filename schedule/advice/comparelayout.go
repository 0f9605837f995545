package advice

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// layout is one way to lay a line out.
type layout struct {
	name   string
	stages []record.Treatment
	main   string // id of the exchanger or membrane; empty for none
}

// Cartridges whose size nobody stated, for comparing. Assumption: a small
// cartridge of a home machine.
const (
	comparedLitres  = 200.0
	comparedDegrees = 10.0
)

// comparedHydrogen is the share on hydrogen of a mixed exchanger that nobody
// described. Assumption.
const comparedHydrogen = 0.5

// layouts lists the ways that an order asks for, the present one first.
func (o *CompareQuery) layouts(line record.Equipment, today record.Date, c *WaterComparison) []layout {
	present := layout{name: stagesText(line.Line.Treatment), stages: slices.Clone(line.Line.Treatment)}
	at := slices.IndexFunc(present.stages, changesIons)
	var now record.Treatment
	if at >= 0 {
		now = present.stages[at]
		present.main = now.ID
	}
	all := []layout{present}
	if len(o.Kinds)+len(o.Bypasses)+len(o.Blends)+len(o.Sources) == 0 {
		o.Kinds = []string{NoTreatment, string(record.Softener), string(record.Decarboniser), string(record.Mixed), string(record.ReverseOsmosis)}
	}
	add := func(kind record.TreatmentKind, share float64) {
		all = append(all, present.with(o.stage(kind, share, now, today, c), at))
	}
	exchangers := slices.DeleteFunc(slices.Clone(o.Kinds), func(k string) bool { return !record.TreatmentKind(k).Exchanges() })
	if len(exchangers) == 0 && len(o.Bypasses) > 0 {
		// A bypass alone is one of the cartridge that is there.
		exchangers = []string{string(record.Softener)}
		if now.Kind.Exchanges() {
			exchangers[0] = string(now.Kind)
		}
	}
	if slices.Contains(o.Kinds, NoTreatment) && at >= 0 {
		all = append(all, present.with(nil, at))
	}
	for _, kind := range exchangers {
		shares := o.Bypasses
		if len(shares) == 0 {
			shares = []float64{now.BypassShare}
		}
		for _, share := range shares {
			add(record.TreatmentKind(kind), share)
		}
	}
	if slices.Contains(o.Kinds, string(record.ReverseOsmosis)) || len(o.Blends) > 0 {
		shares := o.Blends
		if len(shares) == 0 {
			shares = []float64{0}
		}
		for _, share := range shares {
			add(record.ReverseOsmosis, share)
		}
	}
	// What turns out to be the present layout stands there already.
	seen := []layout{}
	for _, l := range all {
		if !slices.ContainsFunc(seen, func(s layout) bool { return sameStages(s.stages, l.stages) }) {
			seen = append(seen, l)
		}
	}
	return seen
}

// changesIons tells whether a stage is what the layouts differ by: sediment and
// carbon filters stay where they are.
func changesIons(t record.Treatment) bool {
	return t.Kind.Exchanges() || t.Kind == record.ReverseOsmosis
}

// with puts a stage in the place of the present exchangers and membranes, or
// takes them out where there is none; at is where the first of them stands.
func (l layout) with(stage *record.Treatment, at int) layout {
	made := layout{name: "no treatment"}
	for i, t := range l.stages {
		if i == at && stage != nil {
			made.stages = append(made.stages, *stage)
		}
		if !changesIons(t) {
			made.stages = append(made.stages, t)
		}
	}
	if stage == nil {
		return made
	}
	if at < 0 {
		made.stages = append(made.stages, *stage)
	}
	made.main = stage.ID
	made.name = stageText(*stage)
	return made
}

// stageText names an exchanger or a membrane with what goes round it.
func stageText(stage record.Treatment) string {
	switch {
	case stage.Kind == record.ReverseOsmosis:
		return fmt.Sprintf("%s, %s raw", stage.Kind, figure.Percent(stage.BypassShare))
	case stage.BypassShare == 0:
		return fmt.Sprintf("%s, bypass shut", stage.Kind)
	}
	return fmt.Sprintf("%s, bypass %s", stage.Kind, figure.Percent(stage.BypassShare))
}

// stagesText names what the layouts differ by among the stages of a line.
func stagesText(stages []record.Treatment) string {
	var names []string
	for _, t := range stages {
		if changesIons(t) {
			names = append(names, stageText(t))
		}
	}
	if len(names) == 0 {
		return "no treatment"
	}
	return strings.Join(names, "; ")
}

// stage makes the exchanger or membrane of a layout: the present one with
// another bypass, or another of the same size.
func (o *CompareQuery) stage(kind record.TreatmentKind, share float64, now record.Treatment, today record.Date, c *WaterComparison) *record.Treatment {
	s := record.Treatment{ID: "compared", Kind: kind, BypassShare: share, Fitted: today, Months: now.Months}
	if now.Kind == kind {
		s = now
		s.BypassShare = share
	}
	if kind == record.ReverseOsmosis {
		return &s
	}
	if s.RatedLitres == 0 && now.Kind.Exchanges() {
		s.RatedLitres, s.RatedDegrees = now.RatedLitres, now.RatedDegrees
	}
	if s.RatedLitres == 0 && o.RatedLitres == 0 {
		note := fmt.Sprintf("A cartridge of %g litres at %g German degrees is assumed; a maker's table says better.", comparedLitres, comparedDegrees)
		if !slices.Contains(c.Notes, note) {
			c.Notes = append(c.Notes, note)
		}
	}
	s.RatedLitres = cmp.Or(o.RatedLitres, s.RatedLitres, comparedLitres)
	s.RatedDegrees = cmp.Or(o.RatedDegrees, s.RatedDegrees, comparedDegrees)
	if kind == record.Mixed {
		s.Hydrogen = cmp.Or(o.Hydrogen, s.Hydrogen, comparedHydrogen)
	}
	return &s
}

// sameStages compares two layouts by what they do to the water.
func sameStages(a, b []record.Treatment) bool {
	return slices.EqualFunc(a, b, func(x, y record.Treatment) bool {
		x.ID, y.ID, x.Fitted, y.Fitted = "", "", 0, 0
		return x == y
	})
}
