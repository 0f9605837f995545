package interview

import (
	"context"
	"fmt"
	"maps"
	"math"
	"strings"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// costWorlds is how many worlds a cost is worked out by: enough for a factor, few
// enough that nobody waits.
const costWorlds = 100

// Cost says what it costs not to know the answer to a question, given the others so
// far, in a sentence that follows "I don't know:". Where that is the width of a window, it is worked out by two forecasts of a
// place like this one, one without the answer and one with it; else it is what is
// assumed.
func (a Answers) Cost(ctx context.Context, c *care.Catalogue, today record.Date, zone string, q Question) (string, error) {
	assumed := "this is assumed: " + q.Unknown + "."
	if q.gauge == "" {
		return assumed, nil
	}
	without, with := maps.Clone(a), maps.Clone(a)
	without[q.ID], with[q.ID] = DontKnow, q.Usual
	switch q.ID {
	case "water":
		with[q.ID], with["hardness"] = "test", "14 dH"
	case "kettle":
		with[q.ID] = "crust"
	case "cared":
		with[q.ID] = today.String()
	}
	if q.ID != "cared" { // how often, not when next: of a machine that is new today
		for _, answers := range []Answers{without, with} {
			answers["came"], answers["since"] = "new", today.String()
			delete(answers, "cared")
		}
	}
	unknown, err := without.window(ctx, c, today, zone, q.gauge)
	if err != nil {
		return "", err
	}
	known, err := with.window(ctx, c, today, zone, q.gauge)
	if err != nil {
		return "", err
	}
	if q.ID == "cared" {
		return fmt.Sprintf("the first change of the group gasket may be due anywhere %s; had all been looked after today, %s.", between(unknown, today), between(known, today)), nil
	}
	return fmt.Sprintf("it is known how often to descale to within a factor of %s; with an answer, of %s.", factor(unknown, today), factor(known, today)), nil
}

// window returns the first window among a place's tasks of a kind.
func (a Answers) window(ctx context.Context, c *care.Catalogue, today record.Date, zone, task string) (wear.Window, error) {
	told := a.Place(today, zone)
	outcomes, err := day.Imagined(ctx, c, today, told.Setup, told.Tests, costWorlds)
	if err != nil {
		return wear.Window{}, err
	}
	horizon := today.AddMonths(12 * wear.HorizonYears)
	first := wear.Window{Early: horizon, Likely: horizon, Late: horizon}
	for _, x := range outcomes {
		if !strings.Contains("/"+x.Duty.ID+"/", "/"+task+"/") || x.Window.Early.IsZero() || x.Window.Early >= first.Early {
			continue
		}
		first = x.Window
		for _, end := range []*record.Date{&first.Likely, &first.Late} {
			if end.IsZero() {
				*end = horizon
			}
		}
	}
	return first, nil
}

// factor writes by how much a window's ends are apart, reckoned from today, when all
// is fresh: a late date twice as far off as the early one is a factor of 2.
func factor(w wear.Window, today record.Date) string {
	x := float64(w.Late-today) / math.Max(float64(w.Early-today), 1)
	if w.Late == today.AddMonths(12*wear.HorizonYears) {
		return fmt.Sprintf("%.1f at the least", x)
	}
	return fmt.Sprintf("%.1f", x)
}

func between(w wear.Window, today record.Date) string {
	in := func(d record.Date) string {
		months := float64(d-today) / 30.44
		switch {
		case months < 0.5:
			return "now"
		case months < 18:
			return fmt.Sprintf("%.0f months on", months)
		}
		return fmt.Sprintf("%.1f years on", months/12)
	}
	return fmt.Sprintf("between %s and %s", in(w.Early), in(w.Late))
}
