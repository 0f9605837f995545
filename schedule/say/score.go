package say

import (
	"fmt"
	"math"
	"strings"

	"limekeep/schedule/score"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// ScoreOf names what a tally is of; what is neither all nor a kind is named by its
// task, as the catalogue or a place has it.
func ScoreOf(of string) string {
	switch of {
	case "all":
		return "everything"
	case string(wear.ExpectedPart):
		return "parts that wear"
	case string(wear.ExpectedScale):
		return "scale in vessels"
	case string(wear.ExpectedCheck):
		return "condition checks"
	case string(wear.ExpectedWater):
		return "water, by its tests"
	}
	return strings.ReplaceAll(of, "-", " ")
}

// ScoreSince says since when forecasts are kept, and how many could be held against
// what came.
func ScoreSince(s score.Score) string {
	if s.Since == nil {
		return "No forecast was kept so far. Each plan that goes out to the calendar keeps what it expects; what is found after that is held against it."
	}
	since := fmt.Sprintf("Since %s each plan that goes out keeps what it expects to be found.", s.Since.Long())
	switch len(s.Cases) {
	case 0:
		return since + " Nothing was found since then that could be held against it: a service counts once it says what was found, a condition check from its fourth reading on, and a water test by its hardness and alkalinity."
	case 1:
		return since + " One finding could be held against it."
	}
	return since + fmt.Sprintf(" %d findings could be held against it.", len(s.Cases))
}

// Tally says how the forecasts of one kind fared.
func Tally(t score.Tally) []string {
	if t.Cases == 0 {
		return nil
	}
	more := "had worn more than foreseen"
	switch t.Water {
	case 0:
	case t.Cases:
		more = "came out higher than foreseen"
	default:
		more = "had worn more than foreseen, or came out higher in a water test"
	}
	says := []string{fmt.Sprintf("%s of %s lay inside their windows, which are to hold %s: %s. %s %s, %s less.",
		UpperFirst(rough(t.Inside)), Count(t.Cases, "finding"), figure.Percent(t.Promise), TallyVerdict(t), UpperFirst(rough(t.Sooner)), more, rough(t.Later))}
	if t.Told > 0 {
		says = append(says, fmt.Sprintf("What was seen had been given a chance of %s, as a geometric mean; a guess among all that can be seen gives %s.", figure.Percent(t.Chance), figure.Percent(t.Guess)))
	}
	if t.Maker != nil {
		says = append(says, Fixed(t))
	}
	if t.WindowOver > 0 {
		says = append(says, fmt.Sprintf("From the service before, the late date of a window lies %s times as far away as the early one.", figure.Rough(t.WindowOver)))
	}
	return says
}

// TallyVerdict says what so many findings say of windows, with what chance allows.
func TallyVerdict(t score.Tally) string {
	share := fmt.Sprintf("%s, by chance anything from %s to %s", figure.Percent(t.Inside/float64(t.Cases)), figure.Percent(t.Low), figure.Percent(t.High))
	if t.Verdict == score.TooFew {
		return fmt.Sprintf("too few to tell (%s); %d more may tell", share, t.Needed)
	}
	if t.Verdict == score.AsPromised {
		return fmt.Sprintf("as promised (%s)", share)
	}
	return fmt.Sprintf("the windows are %s (%s)", t.Verdict, share)
}

// Fixed says how a fixed interval would have fared.
func Fixed(t score.Tally) string {
	rival, wins := "A fixed interval", "the interval did better"
	switch t.Water {
	case 0:
	case t.Cases:
		rival, wins = "The last test again", "the last test did better"
	default:
		rival, wins = "A fixed interval, and of water the last test again,", "these did better"
	}
	of := rival + fmt.Sprintf(" would have scored %s and these forecasts %s in the same %s, less being better", figure.Rough(*t.Maker), figure.Rough(*t.Ours), Count(t.Fixed, "case"))
	if *t.Maker <= 0 {
		return of + "."
	}
	better := 1 - *t.Ours / *t.Maker
	switch {
	case math.Abs(better) < 0.005:
		return of + ": they are as good as each other."
	case better > 0:
		return of + fmt.Sprintf(": the forecasts do better by %s.", figure.Percent(better))
	}
	return of + ": " + wins + "."
}

// rough writes shares of cases that add up.
func rough(cases float64) string { return figure.AtMost(cases, 1) }

// ScoreCase says what was foreseen of one finding and what came.
func ScoreCase(c score.Case) string {
	said := fmt.Sprintf("%s, foreseen on %s", c.Found, c.Foreseen.Long())
	if len(c.Chances) > 0 {
		parts := make([]string, len(c.Chances))
		for i, chance := range c.Chances {
			parts[i] = fmt.Sprintf("%s %s", chance.What, figure.Percent(chance.Chance))
		}
		said += ": " + strings.Join(parts, ", ")
	} else if c.Expected != nil {
		unit := ""
		switch c.Kind {
		case wear.ExpectedScale:
			unit = " g"
		case wear.ExpectedWater:
			unit = " " + c.Unit
		}
		said += fmt.Sprintf(": %s%s (%s to %s)", figure.Rough(c.Expected.Likely), unit, figure.Rough(c.Expected.Low), figure.Rough(c.Expected.High))
	}
	said += "; " + ScorePlace(c)
	if c.Early != nil && c.Late != nil {
		said += fmt.Sprintf("; the window ran from %s to %s", c.Early.Long(), c.Late.Long())
	}
	if c.Fixed != nil {
		said += fmt.Sprintf("; a fixed interval would have named %s", c.Fixed.Long())
	}
	return said
}

// ScorePlace says on which side of its window most of a case lies.
func ScorePlace(c score.Case) string {
	switch inside, sooner, later := c.Inside(), c.Sooner(), c.Later(); {
	case c.Kind == wear.ExpectedWater && inside == 1:
		return "inside what was foreseen"
	case c.Kind == wear.ExpectedWater && sooner > later:
		return "more than foreseen"
	case c.Kind == wear.ExpectedWater:
		return "less than foreseen"
	case inside >= sooner && inside >= later:
		return "inside the window"
	case sooner >= later:
		return "more worn than the window allows"
	}
	return "less worn than the window allows"
}

// ModelError says what is known of the model's own error at a place.
func ModelError(e score.ModelError) string {
	if e.Findings == 0 {
		return fmt.Sprintf("How far the model itself is off about scale is taken to be a factor of %s either way, as for any place; what is found of scale will tell for this one.", figure.AtMost(math.Exp(e.LogSD), 2))
	}
	return fmt.Sprintf("By %s of scale the model itself is off by a factor of %s here either way (%s to %s; %s are assumed of any place, and forecasts stay between %s and %s). Forecasts go by it.",
		Count(e.Findings, "finding"), figure.AtMost(math.Exp(e.LogSD), 2), figure.AtMost(math.Exp(e.Low), 2), figure.AtMost(math.Exp(e.High), 2),
		figure.AtMost(math.Exp(wear.ModelLogSD), 2), figure.AtMost(math.Exp(score.LeastLogSD), 2), figure.AtMost(math.Exp(score.MostLogSD), 2))
}

// Proposal says what findings say of a limit of the catalogue.
func Proposal(p score.Proposal) string {
	evidence := fmt.Sprintf("%s at %s put it at %s times what it is (nine in ten from %s to %s)",
		Count(p.Findings, "finding"), Count(p.Places, "place"), figure.AtMost(p.Shift.Likely, 2), figure.AtMost(p.Shift.Low, 2), figure.AtMost(p.Shift.High, 2))
	limit := func(l figure.Percentiles) string {
		return fmt.Sprintf("low %s, usual %s, high %s", figure.Exact(l.Low), figure.Exact(l.Likely), figure.Exact(l.High))
	}
	gauge := p.Gauge
	if gauge != score.SharedMultiplier {
		gauge += " in " + p.Unit
	}
	head := fmt.Sprintf("%s, %s (%s): ", ScoreOf(p.Care), gauge, limit(p.Limit))
	if p.Refused != "" {
		return head + p.Refused + ". " + UpperFirst(evidence) + "."
	}
	return head + "change to " + limit(p.Proposed) + ". " + UpperFirst(evidence) + "."
}
