package interview

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// costWorlds is how many worlds a cost is worked out by: enough for a factor, few
// enough that nobody waits.
const costWorlds = 100

// usualWater stands for a tested water while another cost is worked out.
var usualWater = Answers{"water": "test", "hardness": "14 dH", "alkalinity": "11 dH"}

// Cost says what it costs not to know the answer to a question, given the others so
// far, in a sentence that follows "I don't know:". Where that is how far off a forecast
// is, it is worked out by two forecasts of a place like this one, one without the
// answer and one with it, and with what was not asked yet as it usually is; else it is
// what is assumed.
func (a Answers) Cost(ctx context.Context, c *care.Catalogue, today record.Date, zone string, q Question) (string, error) {
	without, with := maps.Clone(a), maps.Clone(a)
	without[q.ID], with[q.ID] = DontKnow, q.Usual
	switch q.cost {
	case costsCare:
		with[q.ID] = today.String()
		if without.unknownPasts(c, today, zone) == 0 {
			return "this is assumed: nothing was to be done so far, new as it is.", nil
		}
		return fmt.Sprintf("of %d kinds of work nobody knows when they were last done, so that their dates are wide until a first sitting has taken stock; with all looked after today, of %d.",
			without.unknownPasts(c, today, zone), with.unknownPasts(c, today, zone)), nil
	case costsScale:
	default:
		return "this is assumed: " + q.Unknown + ".", nil
	}
	switch q.ID {
	case "water":
		maps.Copy(with, usualWater)
	case "kettle":
		with[q.ID] = "crust"
	case "cups":
		if a["water"] == "" {
			maps.Copy(without, usualWater)
			maps.Copy(with, usualWater)
		}
	}
	unknown, err := without.scaleFactor(ctx, c, today, zone)
	if err != nil {
		return "", err
	}
	known, err := with.scaleFactor(ctx, c, today, zone)
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("how often to descale is known to within a factor of %s; with an answer, of %s.", factor(unknown), factor(known)), nil
}

// unknownPasts counts the kinds of work whose past nobody knows.
func (a Answers) unknownPasts(c *care.Catalogue, today record.Date, zone string) int {
	equipment := slices.Clone(a.Place(today, zone).Setup.Equipment)
	for i, e := range equipment {
		equipment[i] = e.Completed(record.Equipment{}, false, today)
	}
	n := 0
	for _, d := range c.Duties(equipment) {
		if d.Past.Unknown {
			n++
		}
	}
	return n
}

// costDays is how long scale gathers while a cost is worked out.
const costDays = 365

// scaleFactor returns the factor either way within which eight in ten places that
// answered so have the scale of a first year, in the vessel where that is least known:
// of two dates of descaling as far apart one is so many times as far off as it seems.
func (a Answers) scaleFactor(ctx context.Context, c *care.Catalogue, today record.Date, zone string) (float64, error) {
	began := today - costDays
	told := a.Place(today, zone)
	equipment := slices.Clone(told.Setup.Equipment)
	for i := range equipment { // new a year ago, and nothing done since
		e := &equipment[i]
		e.Bought, e.RecordsFrom, e.Made, e.LookedAfter, e.Used, e.Past = began, began, 0, 0, false, nil
	}
	told.Setup.Equipment = equipment
	outcomes, err := day.Imagined(ctx, c, today, told.Setup, told.Tests, costWorlds)
	if err != nil {
		return 0, err
	}
	most := 1.0
	for _, x := range outcomes {
		if x.Scale != nil {
			most = max(most, either(x.Scale.Grams))
		}
	}
	return most, nil
}

// either returns the factor by which a figure lies either way of its middle.
func either(p figure.Percentiles) float64 {
	if p.High <= 0 {
		return 1
	}
	return math.Sqrt(p.High / math.Max(p.Low, p.High/(mostFactor*mostFactor)))
}

// mostFactor is beyond what is worth telling apart.
const mostFactor = 30

func factor(x float64) string {
	if x > 0.99*mostFactor {
		return fmt.Sprintf("%d or more", mostFactor)
	}
	return figure.Rough(x)
}
