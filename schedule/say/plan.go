package say

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Turn says what a turn risks and gives up, and why it stands in its sitting: with
// which states it shares with others, and whether there are others.
func Turn(turn plan.Turn, shared []string, others bool) string {
	says := fmt.Sprintf("%s chance that its limit is passed by then, %s of its life given up", figure.Percent(turn.Risk), figure.Percent(turn.Unused))
	if reason := reason(turn, shared, others); reason != "" {
		says += "; " + reason
	}
	return UpperFirst(says) + "."
}

// Reason says why a turn stands in its sitting, in a sentence without figures, so
// that small news leave it as it is; empty where its window alone says it.
func Reason(turn plan.Turn, shared []string, others bool) string {
	if reason := reason(turn, shared, others); reason != "" {
		return UpperFirst(reason) + "."
	}
	return ""
}

func reason(turn plan.Turn, shared []string, others bool) string {
	switch {
	case turn.Pinned:
		return "you fixed the day"
	case turn.Behind:
		return "it is past its likely date, and caught up with in turn"
	case turn.Standing == plan.SharesBest:
		return fmt.Sprintf("it is done weeks before its likely day, since %s: a sitting of its own later would cost more", sharing(shared))
	case turn.Standing == plan.WaitsToShare:
		return fmt.Sprintf("it waits weeks beyond its likely day until %s: a sitting of its own sooner would cost more than the wait", sharing(shared))
	case standings[turn.Standing] != "":
		return standings[turn.Standing]
	case len(shared) > 0:
		return sharing(shared)
	case others:
		return "it is done along with the rest"
	}
	return ""
}

// standings say why a turn stands weeks from its likely day.
var standings = map[plan.Standing]string{
	plan.RatherEarly: "it stands well before its likely day, since that is uncertain and being late would cost more than the life given up",
	plan.CanWait:     "it stands well after its likely day, since waiting costs less than the life that it saves",
	plan.NoRoomNear:  "it stands weeks from its likely day, since the sittings nearer to it are full",
	plan.NoSlotNear:  "it stands weeks from its likely day, since no preferred time lies nearer to it",
	plan.KeepsPlace:  "it stays where it was announced, since small news move nothing",
	plan.SuitsLater:  "it stands weeks from its likely day, since otherwise one of its next turns would come late or long before its time",
	plan.SharesLater: "it stands weeks from its likely day, so that its next turns need no sittings of their own",

	plan.FirstFromNow: "it is past its likely day, and no preferred time comes sooner",
}

// sharing says what a task shares with others in its sitting: the state that takes most to
// bring about, or the sitting itself.
func sharing(shared []string) string {
	for _, s := range sharedStates {
		if slices.Contains(shared, s.state) {
			return s.says
		}
	}
	return "there is a sitting for other work as well"
}

// sharedStates are states that tasks share, what takes most first, as people say them.
var sharedStates = []struct{ state, says string }{
	{"cold", "the machine is cold for other work as well"},
	{"drained", "the boiler is drained for other work as well"},
	{"group open", "the group is open for other work as well"},
	{"cartridges out", "the cartridges are out for other work as well"},
	{"mains off", "the water is shut off for other work as well"},
	{"water off", "the water is shut off for other work as well"},
	{"unplugged", "it is unplugged for other work as well"},
}

// forOne returns a verb as it stands for one thing, or for several.
func forOne(things []string, one, several string) string {
	if len(things) == 1 {
		return one
	}
	return several
}

// WhyLong says why a sitting is longer than its slot: for what is brief and past its
// likely day, by its titles, for what somebody's safety hangs on, or since it could not be
// otherwise.
func WhyLong(brief, safety []string) string {
	switch {
	case len(brief) > 0:
		return fmt.Sprintf("“%s” %s soon done, past the likely day, and %s for no other", strings.Join(brief, "”, “"), forOne(brief, "is", "are"), forOne(brief, "waits", "wait"))
	case len(safety) > 0:
		return fmt.Sprintf("“%s” %s people or the home safe, %s soon done, and %s no room elsewhere in time", strings.Join(safety, "”, “"),
			forOne(safety, "keeps", "keep"), forOne(safety, "is", "are"), forOne(safety, "has", "have"))
	}
	return "no preferred time could hold it"
}

// Plan says how a plan came about, in plain sentences with the numbers; that
// leaving the last one costs something, where one was published.
func Plan(asked *plan.Request, p plan.Plan, published bool) []string {
	turns := 0
	for _, s := range p.Sittings {
		turns += len(s.Turns)
	}
	months := float64(asked.Until-asked.Today) / 30.44
	prices := asked.Prices
	says := []string{
		fmt.Sprintf("%s with %s in %.0f months, out of %s that are not blocked.", Count(len(p.Sittings), "sitting"), Count(turns, "turn"), months, Count(len(asked.Slots), "slot")),
		fmt.Sprintf("Weighed in minutes of your time: %s to begin sittings at %s each, %s to bring about states, %s expected harm of lateness, %s worth of life given up. All prices are assumptions.",
			figure.Rough(p.Open), figure.Rough(prices.Sitting), figure.Rough(p.States), figure.Rough(p.Harm), figure.Rough(p.Waste)),
		gapSentence(p.Gap()),
	}
	if published {
		says = append(says, fmt.Sprintf("To move what was published costs %s minutes a turn, %s within %.0f days, so that small news moves nothing.",
			figure.Rough(prices.Leaving), figure.Rough(prices.LeavingSoon), prices.SoonDays))
	}
	return says
}

// gapSentence says how near the best possible a plan is, by its gap. From 1 on the gap tells
// nothing: no plan costs less than nothing.
func gapSentence(gap float64) string {
	if gap >= 1 {
		return "How near the best possible it is cannot be said: what is past already, or cannot be met, leaves that open."
	}
	return fmt.Sprintf("No plan costs less by more than %.1f %%.", 100*gap)
}

// PlanInMoney says what a plan comes to at the owner's price of an hour; empty where
// none is known.
func PlanInMoney(p plan.Plan, costs record.Prices) string {
	if costs.Hour <= 0 {
		return ""
	}
	of := func(minutes float64) string { return costs.Money(costs.Hour * minutes / 60) }
	return fmt.Sprintf("At %s an hour of your time that is %s for sittings, %s for states, %s for lateness and %s for life given up.",
		costs.Money(costs.Hour), of(p.Open), of(p.States), of(p.Harm), of(p.Waste))
}

// RoundTooLong goes on what is said of a round that takes longer than the owner has for
// it.
func RoundTooLong(r plan.Routine, most float64) string {
	return fmt.Sprintf(", %.0f more than you have for it", math.Ceil(r.Minutes-most))
}

// NoSitting says that a task has no place in a plan that ends on a day.
func NoSitting(until record.Date) string {
	return fmt.Sprintf("It has no sitting up to %s.", until.Long())
}

// Position says what it means that the next turn of a task is planned for
// a day; from is where it stood before, zero for nowhere.
func Position(t *plan.Task, from, to record.Date) string {
	return risk(fmt.Sprintf("It is planned for %s; %.0f %% chance that its limit is passed by then", to.Long(), chance(t, to)), t, from, to)
}

// WouldBe says what a day would risk that a task is not moved to yet, beside the day it
// is planned for, which may be zero.
func WouldBe(t *plan.Task, from, to record.Date) string {
	return risk(fmt.Sprintf("On %s there would be %s %.0f %% chance that its limit is passed by then", to.Long(), article(chance(t, to)), chance(t, to)), t, from, to)
}

// BookedTurn says what a task risks that a visit was booked for, on the day of the visit,
// or today where it was missed.
func BookedTurn(chance float64, on record.Date, missed bool) string {
	if missed {
		return fmt.Sprintf("Not done at the visit; %s chance that its limit is passed by now.", figure.Percent(chance))
	}
	return fmt.Sprintf("%s chance that its limit is passed by %s.", figure.Percent(chance), on.Long())
}

// VisitRisk says of so many tasks of a visit on how many another day is harder, and how
// many would be past their late dates by then.
func VisitRisk(all, worse, late int, to record.Date) string {
	switch {
	case late > 0:
		return fmt.Sprintf("By %s, %d of %s would be past the late date.", to.Long(), late, Count(all, "task"))
	case worse > 0:
		return fmt.Sprintf("By %s, %d of %s would be likelier to be past the limit; none would be past its late date.", to.Long(), worse, Count(all, "task"))
	}
	return fmt.Sprintf("By %s nothing of it would be likelier to be past its limit.", to.Long())
}

func risk(says string, t *plan.Task, from, to record.Date) string {
	switch now, then := chance(t, from), chance(t, to); {
	case from == 0 || from == to:
	case now == then: // both in whole per cent
		says += fmt.Sprintf(", no more than the %.0f %% on %s", now, from.Long())
	default:
		says += fmt.Sprintf(", instead of %.0f %% on %s", now, from.Long())
	}
	if t.Late != 0 && to > t.Late {
		says += fmt.Sprintf("; that is after its late date, %s", t.Late.Long())
	}
	return says + "."
}

// article returns the indefinite article before a whole per cent, as it is spoken.
func article(percent float64) string {
	if percent == 8 || percent == 11 || percent == 18 || percent >= 80 && percent < 90 {
		return "an"
	}
	return "a"
}

// chance is the probability in per cent that a task's limit is passed by a day.
func chance(t *plan.Task, on record.Date) float64 { return math.Round(100 * t.Risk(on)) }
