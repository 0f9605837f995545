package care

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/record"
)

// Duty is a task bound to a part of a place's equipment: what falls due.
type Duty struct {
	ID        string // equipment/task, or equipment/task/part
	Task      *Task
	Equipment record.Equipment
	Part      string      // id of the group, vessel or stage; empty where the task is for the whole
	Title     string      // with the part's name where the equipment has several such parts
	Alike     string      // its title without that: the same for all such parts
	Fitted    record.Date // day the part was new
	Since     record.Date // day it counts as fresh without any service: Fitted, or later where it was looked after
	Past      Past        // what is known of it from before its records begin
	Gauges    []BoundGauge
	Covers    []string // ids of the duties that need no doing where this one was done
	CoveredBy []string // ids of the duties whose services count as services of this one
	Own       bool     // a task of the owner's own
	Off       bool     // the owner has switched it off
	Note      string   // what the owner says of having changed it
}

// Vessel returns the vessel that the duty is for; nil where it is for none.
func (d Duty) Vessel() *record.Vessel {
	if m := d.Equipment.Machine; m != nil && d.Task.Per == PerVessel {
		if i := slices.IndexFunc(m.Vessels, func(v record.Vessel) bool { return v.ID == d.Part }); i >= 0 {
			return &m.Vessels[i]
		}
	}
	return nil
}

// Cartridge returns the stage of treatment that the duty is for; nil where it is
// for none.
func (d Duty) Cartridge() *record.Treatment {
	if l := d.Equipment.Line; l != nil && d.Task.Per == PerCartridge {
		if i := slices.IndexFunc(l.Treatment, func(t record.Treatment) bool { return t.ID == d.Part }); i >= 0 {
			return &l.Treatment[i]
		}
	}
	return nil
}

// Changes returns the stage of treatment that is fresh once the duty was done; nil
// where it changes none.
func (d Duty) Changes() *record.Treatment {
	if !d.Task.ChangesCartridge() {
		return nil
	}
	return d.Cartridge()
}

// Has reports whether any gauge of the duty is of a kind.
func (d Duty) Has(kind Kind) bool {
	return slices.ContainsFunc(d.Gauges, func(g BoundGauge) bool { return g.Driver.Kind() == kind })
}

// BoundGauge is a gauge of the catalogue with the limit that fits the part.
type BoundGauge struct {
	Gauge
	Limit    Limit
	Instead  string     // whose figure stands instead of the catalogue's: "the maker's" or "the owner's"; empty for none
	Replaced []Replaced // what it stands instead of
}

// Replaced is a limit of the catalogue that another figure stands instead of.
type Replaced struct {
	Gauge string
	Unit  string
	Limit Limit
}

// Duties binds the catalogue's tasks to equipment, in the order of the
// equipment and then of the catalogue.
func (c *Catalogue) Duties(equipment []record.Equipment) []Duty {
	var duties []Duty
	for _, e := range equipment {
		parts := partsOf(e, equipment)
		for i := 0; i < len(c.Tasks); {
			next := i + 1 // behind all ways to do the task
			for next < len(c.Tasks) && c.Tasks[next].ID == c.Tasks[i].ID {
				next++
			}
			for _, p := range parts {
				for k := i; k < next; k++ {
					if duty, ok := bind(&c.Tasks[k], e, p); ok {
						duties = append(duties, duty)
						break
					}
				}
			}
			i = next
		}
	}
	tellApart(duties)
	cover(duties)
	return duties
}

// tellApart adds the part's name to titles that several parts of a piece of equipment
// have in common, such as those of the groups of a bar's machine.
func tellApart(duties []Duty) {
	type title struct{ equipment, is string }
	times := map[title]int{}
	for _, d := range duties {
		times[title{d.Equipment.ID, d.Title}]++
	}
	for i := range duties {
		d := &duties[i]
		d.Alike = d.Title
		if times[title{d.Equipment.ID, d.Alike}] > 1 && d.Part != "" {
			d.Title += ", " + d.Part
		}
	}
}

// cover notes which duties cover which: those of the same equipment and part.
func cover(duties []Duty) {
	for i := range duties {
		for j := range duties {
			a, b := &duties[i], &duties[j]
			if a.Equipment.ID == b.Equipment.ID && a.Part == b.Part && slices.Contains(a.Task.Covers, b.Task.ID) {
				a.Covers, b.CoveredBy = append(a.Covers, b.ID), append(b.CoveredBy, a.ID)
			}
		}
	}
}

// bind gives the duty of a task for a part; false where it does not apply.
func bind(t *Task, e record.Equipment, p part) (Duty, bool) {
	if t.Per != p.per || !p.fits(t.When) || slices.ContainsFunc(t.Unless, func(w string) bool { return slices.Contains(p.words, w) }) {
		return Duty{}, false
	}
	duty := Duty{
		ID:        e.ID + "/" + t.ID,
		Task:      t,
		Equipment: e,
		Part:      p.id,
		Title:     strings.ReplaceAll(t.Title, "{part}", p.name),
		Since:     p.since,
		Fitted:    p.since,
	}
	if p.id != "" {
		duty.ID += "/" + p.id
	}
	for _, g := range t.Gauges {
		i := slices.IndexFunc(g.Limits, func(l Limit) bool { return p.fits(l.For) })
		if i < 0 {
			continue
		}
		limit := g.Limits[i]
		if p.stage != nil && g.Driver == ByDays && slices.Contains(limit.For, wordAgeLimit) {
			days := p.stage.Months * daysPerMonth
			limit.Low, limit.Usual, limit.High = days, days, days
		}
		limit = p.factored(limit, g.Factors)
		duty.Gauges = append(duty.Gauges, BoundGauge{Gauge: g, Limit: limit})
	}
	if duty.yearly() {
		duty.Since = max(duty.Since, e.LookedAfter)
	}
	duty.setPast(e)
	return duty, len(duty.Gauges) > 0
}

// yearly tells whether the duty is of the kind that is done at least once a
// year, so that equipment that was looked after has had it. Scale, seals, burrs
// and cartridges wear on whoever looked.
func (d Duty) yearly() bool {
	often := false
	for _, g := range d.Gauges {
		entry := g.Driver.entry()
		switch {
		case entry.yearly > 0:
			often = often || g.Limit.Usual <= entry.yearly
		case entry.kind != Checked && entry.kind != Dissolved:
			return false
		}
	}
	return often && d.Task.Per != PerCartridge
}

// factored multiplies a limit by all factors that fit the part, and says so in
// its source.
func (p part) factored(limit Limit, factors []Factor) Limit {
	for _, f := range factors {
		if p.fits(f.For) {
			limit.Low, limit.Usual, limit.High = limit.Low*f.Times, limit.Usual*f.Times, limit.High*f.Times
			limit.Source += fmt.Sprintf("; times %g for %s (%s)", f.Times, strings.Join(f.For, ", "), f.Source)
		}
	}
	return limit
}

// daysPerMonth is the mean length of a month of the Gregorian calendar.
const daysPerMonth = 365.2425 / 12
