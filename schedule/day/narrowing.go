package day

import (
	"fmt"
	"slices"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
)

// Narrowing is one answer that would replace a guess, and what it would narrow.
type Narrowing struct {
	What  string          `json:"what"`  // what to find out
	Days  float64         `json:"days"`  // by which it would narrow windows in all, about
	Tasks []string        `json:"tasks"` // whose windows those are, the most first
	Do    schedule.Action `json:"-"`
	How   string          `json:"how"` // as the door spells it
	Says  string          `json:"says"`

	weight float64 // the days, by what is at stake with each
}

// leastNarrowing is how many days an answer has to narrow windows by to be worth
// asking for. Assumption.
const leastNarrowing = 14

// narrowest returns the one answer that would narrow most of what is not known: a
// first water test, which many dates hang on, or a look at a part whose past nobody
// wrote down. Nil where none is worth asking for.
func (f *Forecast) narrowest() *Narrowing {
	var best *Narrowing
	most := 0.0
	propose := func(n Narrowing) {
		if n.Days >= leastNarrowing && n.weight > most {
			best, most = &n, n.weight
		}
	}
	for _, line := range f.Day.Book.Equipment() {
		if line.Line == nil {
			continue
		}
		n := Narrowing{What: "a water test of " + line.Title(), Do: schedule.Action{Verb: schedule.AddWaterTest}}
		for _, x := range f.outcomes {
			if m := x.Duty.Equipment.Machine; m != nil && m.Line == line.ID && x.Scale != nil && x.Scale.WaterNarrows > 0 {
				n.Days += x.Scale.WaterNarrows
				n.weight += x.Scale.WaterNarrows * x.Duty.Task.AtStake
				n.Tasks = append(n.Tasks, x.Duty.ID)
			}
		}
		propose(n)
	}
	for _, x := range f.outcomes {
		if x.Past == nil || x.Past.Looked > 0 || x.Duty.Task.Who.Booked() || x.Duty.Task.Findings == care.FindsNothing || !wears(x.Duty) {
			continue
		}
		propose(Narrowing{
			What: fmt.Sprintf("a look, or the day it was last done, for “%s” of %s", x.Duty.Title, x.Duty.Equipment.Title()),
			Days: x.Past.Narrows, weight: x.Past.Narrows * x.Duty.Task.AtStake, Tasks: []string{x.Duty.ID},
			Do: schedule.Action{Verb: schedule.Look, Task: x.Duty.ID, Findings: FindingsOf(x.Duty.Task)},
		})
	}
	if best == nil {
		return nil
	}
	best.How = f.Day.Spell(best.Do)
	var titles []string
	for _, id := range best.Tasks {
		i := slices.IndexFunc(f.outcomes, func(x wear.Outcome) bool { return x.Duty.ID == id })
		titles = append(titles, "“"+f.outcomes[i].Duty.Title+"”")
	}
	best.Says = fmt.Sprintf("What would narrow most is %s: it takes about %s off %s (%s).", best.What, say.Span(best.Days), windowsOf(titles), f.Day.Quote(best.Do))
	return best
}

// wears reports whether a duty is about a vessel that scale gathers in, or renews a part
// that wears by what it goes through, so that a look tells something. Cleaning, and a
// check that comes round by the days alone, is as well done as looked at.
func wears(d care.Duty) bool {
	return slices.ContainsFunc(d.Gauges, func(g care.BoundGauge) bool {
		kind := g.Driver.Kind()
		return kind == care.Deposited || kind == care.Counted && g.Driver != care.ByDays && d.Task.Renews
	})
}

// windowsOf names the windows of some tasks.
func windowsOf(titles []string) string {
	switch len(titles) {
	case 1:
		return "the window of " + titles[0]
	case 2:
		return "the windows of " + titles[0] + " and " + titles[1] + " together"
	}
	return fmt.Sprintf("the windows of %s and %d more together", titles[0], len(titles)-1)
}
