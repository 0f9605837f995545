package care

import (
	"fmt"
	"math"
	"slices"
)

// checkTask checks that a task says all that it must.
func (c *Catalogue) checkTask(t *Task) error {
	switch {
	case t.Title == "":
		return fmt.Errorf("it has no title")
	case !slices.Contains(Pers(), t.Per):
		return fmt.Errorf("per %q is not a part", t.Per)
	case !slices.Contains([]Who{Owner, HandyOwner, Licensed}, t.Who):
		return fmt.Errorf("who %q is nobody", t.Who)
	case !slices.Contains([]Findings{FindsNothing, FindsScale, FindsPart}, t.Findings):
		return fmt.Errorf("findings %q are not known", t.Findings)
	case len(t.Gauges) == 0:
		return fmt.Errorf("it has no gauge")
	case len(t.Hazards) == 0 || len(t.MakeSafe) == 0:
		return fmt.Errorf("it names no hazard, or does not say how to make safe")
	case !(t.Minutes > 0) || math.IsInf(t.Minutes, 1): // nor NaN
		return fmt.Errorf("it takes no time")
	case t.Good == "" || len(t.Otherwise) == 0:
		return fmt.Errorf("it does not say what a good result is, or what to do otherwise")
	}
	if err := t.checkWay(); err != nil {
		return err
	}
	if err := t.Tolerance.check(); err != nil {
		return err
	}
	for _, id := range t.Hazards {
		if !slices.ContainsFunc(c.Hazards, func(h Hazard) bool { return h.ID == id && h.Caution != "" }) {
			return fmt.Errorf("hazard %q has no caution", id)
		}
	}
	for _, g := range t.Gauges {
		if err := g.check(); err != nil {
			return fmt.Errorf("gauge %q: %w", g.Name, err)
		}
	}
	return nil
}

// checkWay checks that work for the owner is explained, and licensed work never.
func (t *Task) checkWay() error {
	licensed := t.Who == Licensed
	switch {
	case licensed && len(t.Steps) > 0:
		return fmt.Errorf("licensed work is booked, never explained")
	case licensed && (len(t.AskFor) == 0 || len(t.Check) == 0):
		return fmt.Errorf("licensed work must say what to ask for, and how to check that it was done")
	case !licensed && len(t.Steps) == 0:
		return fmt.Errorf("it has no steps")
	case !licensed && len(t.AskFor)+len(t.Check) > 0:
		return fmt.Errorf("only licensed work is asked for")
	}
	return nil
}

func (t Tolerance) check() error {
	switch {
	case !(t.Early >= 0 && t.Early < 1):
		return fmt.Errorf("tolerance: early %v is no share of a life, 0 to below 1", t.Early)
	case !(t.Late >= 0) || math.IsInf(t.Late, 1):
		return fmt.Errorf("tolerance: late %v is no share of a life, 0 or more", t.Late)
	case t.Harm == "":
		return fmt.Errorf("tolerance: it does not say what harm lateness does")
	}
	return nil
}

func (g Gauge) check() error {
	switch {
	case !g.Driver.known():
		return fmt.Errorf("driver %q is not known", g.Driver)
	case g.Name == "" || g.Unit == "" || len(g.Limits) == 0:
		return fmt.Errorf("it has no name, no unit or no limit")
	case (g.Driver == ByTrend) != (g.Measures != ""):
		return fmt.Errorf("a trend, and nothing else, must say what it measures")
	case (g.Driver == ByTrend) != slices.Contains([]Counts{Loss, Rise, Either}, g.Counts):
		return fmt.Errorf("a trend, and nothing else, must count loss, rise or either")
	}
	for _, l := range g.Limits {
		if !(0 < l.Low && l.Low <= l.Usual && l.Usual <= l.High) || math.IsInf(l.High, 1) {
			return fmt.Errorf("limits %v, %v, %v do not rise from above 0", l.Low, l.Usual, l.High)
		}
		if l.Source == "" {
			return fmt.Errorf("a limit has no source")
		}
	}
	for _, f := range g.Factors {
		if !(f.Times > 0) || math.IsInf(f.Times, 1) || len(f.For) == 0 || f.Source == "" {
			return fmt.Errorf("factor %v is not above 0, is for everything, or has no source", f.Times)
		}
	}
	return nil
}
