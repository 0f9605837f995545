package care

import (
	"slices"
	"strings"

	"limekeep/schedule/record"
)

// Duty is a task bound to a part of a place's equipment: what falls due.
type Duty struct {
	ID        string // equipment/task, or equipment/task/part
	Task      *Task
	Equipment record.Equipment
	Part      string // id of the group, vessel or stage; empty where the task is for the whole
	Title     string
	Since     record.Date // day the part was fresh before any service
	Gauges    []BoundGauge
}

// BoundGauge is a gauge of the catalogue with the limit that fits the part.
type BoundGauge struct {
	Gauge
	Limit Limit
}

// part is something a task can be bound to, with the words true of it.
type part struct {
	per   Per
	id    string
	name  string
	words []string
	since record.Date
	stage *record.Treatment
}

// Duties binds the catalogue's tasks to equipment, in the order of the
// equipment and then of the catalogue.
func (c *Catalogue) Duties(equipment []record.Equipment) []Duty {
	var duties []Duty
	for _, e := range equipment {
		parts := partsOf(e)
		for i := range c.Tasks {
			for _, p := range parts {
				if duty, ok := bind(&c.Tasks[i], e, p); ok {
					duties = append(duties, duty)
				}
			}
		}
	}
	return duties
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
		duty.Gauges = append(duty.Gauges, BoundGauge{Gauge: g, Limit: limit})
	}
	return duty, len(duty.Gauges) > 0
}

// daysPerMonth is the mean length of a month of the Gregorian calendar.
const daysPerMonth = 365.2425 / 12

// Words that the catalogue may use of a part beside the names of its setting,
// kind, material, drive and geometry.
const (
	wordThreeWay    = "three-way valve"
	wordLever       = "lever"
	wordExchanger   = "exchanger"
	wordRatedLitres = "rated litres"
	wordAgeLimit    = "age limit"
)

func (p part) fits(words []string) bool {
	return !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(p.words, w) })
}

// partsOf lists what tasks can be bound to, with the words true of each.
func partsOf(e record.Equipment) []part {
	var parts []part
	switch {
	case e.Machine != nil:
		setting := string(e.Machine.Setting)
		parts = append(parts, part{per: PerMachine, words: []string{setting}, since: e.Bought})
		for _, g := range e.Machine.Groups {
			p := part{per: PerGroup, id: g.ID, name: g.ID, words: []string{setting, string(g.Gasket)}, since: e.Bought}
			if g.ThreeWayValve {
				p.words = append(p.words, wordThreeWay)
			}
			if g.Lever {
				p.words = append(p.words, wordLever)
			}
			parts = append(parts, p)
		}
		for _, v := range e.Machine.Vessels {
			parts = append(parts, part{per: PerVessel, id: v.ID, name: string(v.Kind), words: []string{setting, string(v.Kind), string(v.Material)}, since: e.Bought})
		}
	case e.Grinder != nil:
		g := e.Grinder
		parts = append(parts, part{per: PerGrinder, words: []string{string(g.Setting), string(g.Drive), string(g.Geometry)}, since: e.Bought})
	case e.Line != nil:
		parts = append(parts, part{per: PerLine, words: []string{string(e.Line.Supply)}, since: e.Bought})
		for i := range e.Line.Treatment {
			parts = append(parts, cartridge(e, &e.Line.Treatment[i]))
		}
	}
	return parts
}

func cartridge(e record.Equipment, t *record.Treatment) part {
	p := part{per: PerCartridge, id: t.ID, name: string(t.Kind), words: []string{string(e.Line.Supply), string(t.Kind)}, since: t.Fitted, stage: t}
	if p.since.IsZero() {
		p.since = e.Bought
	}
	switch {
	case t.Kind.Exchanges():
		p.words = append(p.words, wordExchanger)
	case t.RatedLitres > 0:
		p.words = append(p.words, wordRatedLitres)
	}
	if t.Months > 0 {
		p.words = append(p.words, wordAgeLimit)
	}
	return p
}
