package say

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// Assumption is something that a forecast takes for granted since nobody said it,
// and what would replace the guess.
type Assumption struct {
	Says string          // a plain sentence with the numbers
	Of   AssumedOf       // what it is about
	Do   schedule.Action // that replaces it
}

// AssumedOf is what an assumption is about.
type AssumedOf int

// What assumptions are about, in the order in which they are told.
const (
	AssumedPast     AssumedOf = iota + 1 // when a part was last cared for
	AssumedHabit                         // how much is drunk
	AssumedMilk                          // how much of it gets steamed milk
	AssumedHotWater                      // how much hot water is drawn
	AssumedGrinding                      // which grinder grinds what
	AssumedWater                         // what the water is
	AssumedVessel                        // a vessel's size, heater or material
	AssumedBefore                        // what stood in a cartridge's place
)

// Assumptions lists what an outcome rests on that nobody said. An outcome that rests on
// what was written down alone has none.
func Assumptions(x wear.Outcome, facts WhyFacts) []Assumption {
	var all []Assumption
	if x.Past != nil {
		all = append(all, pastAssumption(x))
	}
	for _, m := range facts.Makers {
		if m.Assumed && m.LoggedDays == 0 {
			all = append(all, Assumption{
				Of: AssumedHabit,
				Says: fmt.Sprintf("Nobody said how much %s makes: %s shots a week are assumed, as such places usually make, and two and a half times as many or as few are possible; its habit, or a log, would replace that",
					m.Name, figure.Rough(m.Weekly)),
				Do: saidBy("habit: {weekday_shots: %[1]s, weekend_shots: %[1]s}", figure.Rough(m.Weekly/7)),
			})
		}
	}
	for _, g := range x.Grinding {
		if !g.ByBags {
			all = append(all, grindingAssumption(x, g, facts))
		}
	}
	if v := x.Duty.Vessel(); v != nil && v.Kind == record.SteamBoiler {
		for _, m := range facts.Makers {
			if m.Milk.High > 0 {
				all = append(all, milkAssumption(m))
			}
			if m.HotWater.High > 0 {
				all = append(all, hotWaterAssumption(m))
			}
		}
	}
	if x.Scale != nil {
		all = append(all, vesselAssumptions(x)...)
	}
	if d := x.Doubt; d != nil && d.LastTest.IsZero() {
		all = append(all, Assumption{Of: AssumedWater, Says: "This line's water was never tested: all drinking waters are possible; one test would replace that", Do: schedule.Action{Verb: schedule.AddWaterTest}})
	}
	return all
}

func grindingAssumption(x wear.Outcome, g wear.Grinding, facts WhyFacts) Assumption {
	var names []string
	for _, id := range slices.Sorted(slices.Values(append(slices.Clone(g.With), x.Duty.Equipment.ID))) {
		names = append(names, facts.name(id))
	}
	return Assumption{
		Of: AssumedGrinding,
		Says: fmt.Sprintf("Nobody said which of %s grinds how much for %s: equal shares are assumed, and that one grinds two and a half times as much as another is possible; the bags that each empties, written down, would replace that",
			strings.Join(names[:len(names)-1], ", ")+" and "+names[len(names)-1], facts.name(g.Machine)),
		Do: schedule.Action{Verb: schedule.AddBag},
	}
}

// grindingSentence says how much of a machine's shots a grinder is taken to grind.
func grindingSentence(g wear.Grinding, facts WhyFacts) string {
	by := "taken to be shared equally"
	if g.ByBags {
		by = "by the bags that each emptied"
	}
	percent := func(share float64) string { return figure.Rough(100 * share) }
	return fmt.Sprintf("It grinds about %s %% of the shots of %s (%s to %s), %s.",
		percent(g.Share.Likely), facts.name(g.Machine), percent(g.Share.Low), percent(g.Share.High), by)
}

func milkAssumption(m Maker) Assumption {
	percent := func(share float64) string { return figure.Rough(100 * share) }
	return Assumption{
		Of: AssumedMilk,
		Says: fmt.Sprintf("Nobody said how many of the shots of %s get steamed milk: %s %% are assumed (%s to %s), as such places usually have it; that share, 0 for none, or a log that tells, would replace that",
			m.Name, percent(m.Milk.Likely), percent(m.Milk.Low), percent(m.Milk.High)),
		Do: saidBy("steamed_share: %s", figure.Rough(m.Milk.Likely)),
	}
}

func hotWaterAssumption(m Maker) Assumption {
	low, likely := "none", "none is"
	if m.HotWater.Low > 0 {
		low = figure.Rough(m.HotWater.Low)
	}
	if m.HotWater.Likely > 0 {
		likely = fmt.Sprintf("about %s litres a day are", figure.Rough(m.HotWater.Likely))
	}
	return Assumption{
		Of: AssumedHotWater,
		Says: fmt.Sprintf("Nobody said how much hot water is drawn from %s for tea and long coffees: %s assumed (%s to %s litres), as such places usually draw; how much it is, 0 for none, or a log that tells, would replace that",
			m.Name, likely, low, figure.Rough(m.HotWater.High)),
		Do: saidBy("hot_water_litres: %s", figure.Rough(m.HotWater.High/2)),
	}
}

// saidBy is the line of a place file that would say what was assumed.
func saidBy(line string, values ...any) schedule.Action {
	return schedule.Action{Verb: schedule.SetUpPlace, Line: fmt.Sprintf(line, values...)}
}

func pastAssumption(x wear.Outcome) Assumption {
	p := x.Past
	looked := ""
	if p.Looked > 0 {
		looked = ", narrowed by how it looked"
	}
	if f := p.Flow; f != nil {
		looked += fmt.Sprintf(", weighed by the first flow test (%s g/s, where a clean bore would give about %s)", figure.Rough(f.GramsPerSecond), figure.Rough(f.CleanGramsPerSecond))
	}
	was := "was last done"
	if x.Duty.Task.Renews {
		was = "was new or last renewed"
	}
	do := schedule.Action{Verb: schedule.Done, Task: x.Duty.ID}
	found := "the day that it was done"
	if x.Duty.Task.Findings != care.FindsNothing {
		found += ", or what a look at it shows"
	}
	return Assumption{
		Of: AssumedPast,
		Says: fmt.Sprintf("Nobody wrote down when it %s before %s: about %s earlier is assumed (%s to %s), as is usual with such parts%s; %s would replace that",
			was, p.Until.Long(), Span(p.Days.Likely), Span(p.Days.Low), Span(p.Days.High), looked, found),
		Do: do,
	}
}

// Span puts a length of time, days, in words.
func Span(days float64) string {
	switch {
	case days < 1.5:
		return "a day"
	case days < 60:
		return fmt.Sprintf("%.0f days", days)
	case days < 730:
		return fmt.Sprintf("%.0f months", days/(365.2425/12))
	}
	return figure.AtMost(days/365.2425, 1) + " years"
}

func vesselAssumptions(x wear.Outcome) []Assumption {
	s, part := x.Scale, partName(x.Duty)
	var all []Assumption
	if s.LastTest.IsZero() {
		all = append(all, Assumption{
			Of:   AssumedWater,
			Says: "Its water was never tested: all drinking waters are possible, and a test would replace that",
			Do:   schedule.Action{Verb: schedule.AddWaterTest},
		})
	}
	if s.AssumedLitres > 0 {
		all = append(all, Assumption{Of: AssumedVessel, Do: saidBy("litres: %s", figure.Rough(s.AssumedLitres)),
			Says: fmt.Sprintf("Nobody said how much the %s holds: %s litres are assumed (%s to %s litres), as such vessels usually do; its litres would replace that",
				part, figure.Rough(s.AssumedLitres), figure.Rough(s.AssumedLitres/s.AssumedWithin), figure.Rough(s.AssumedLitres*s.AssumedWithin))})
	}
	if s.AssumedWatts > 0 {
		all = append(all, Assumption{Of: AssumedVessel, Do: saidBy("watts: %s", figure.Rough(s.AssumedWatts)),
			Says: fmt.Sprintf("Nobody said how strong the heater of the %s is: %s W are assumed (%s to %s), as such vessels usually have; its watts would replace that",
				part, figure.Rough(s.AssumedWatts), figure.Rough(s.AssumedWatts/s.AssumedWithin), figure.Rough(s.AssumedWatts*s.AssumedWithin))})
	}
	if v := x.Duty.Vessel(); v != nil && v.Material == "" {
		all = append(all, Assumption{Of: AssumedVessel, Do: saidBy("material: %s", record.Stainless),
			Says: fmt.Sprintf("Nobody said what the %s is made of: it is taken for whichever metal would suffer most, so no acid before somebody has seen that it is not aluminium; its material would replace that", part)})
	}
	if s.Before != "" {
		all = append(all, Assumption{Of: AssumedBefore, Do: saidBy("before: none"),
			Says: fmt.Sprintf("Nobody said what stood in the place of the %s before %s: anything between nothing and a fresh one is assumed; what stood there, nothing or the like, would replace that", s.Before, s.BeforeDay.Long())})
	}
	return all
}

// assumedSentences are the assumptions with what replaces each.
func assumedSentences(x wear.Outcome, facts WhyFacts) []string {
	var says []string
	for _, a := range Assumptions(x, facts) {
		if x.Doubt != nil && a.Do.Verb == schedule.AddWaterTest {
			continue // its own sentence says so
		}
		says = append(says, fmt.Sprintf("%s (%s).", a.Says, facts.Spell.Quote(a.Do)))
	}
	return says
}

// sinceWords says since when a gauge has gathered what it has.
func sinceWords(x wear.Outcome) string {
	if x.Past == nil {
		return "since " + x.Since.Long()
	}
	return "since it was last seen to, which nobody wrote down"
}
