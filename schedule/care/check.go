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
	case !slices.Contains([]Who{Owner, HandyOwner, Workshop, Licensed}, t.Who):
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
	if err := t.checkTime(); err != nil {
		return err
	}
	if err := c.checkCovers(t); err != nil {
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

// checkWay checks that work for the owner is explained, and booked work never.
func (t *Task) checkWay() error {
	booked := t.Who.Booked()
	switch {
	case booked && len(t.Steps) > 0:
		return fmt.Errorf("licensed work, and a workshop's, is booked, never explained")
	case booked && (len(t.AskFor) == 0 || len(t.Check) == 0):
		return fmt.Errorf("licensed work, and a workshop's, must say what to ask for, and how to check that it was done")
	case !booked && len(t.Steps) == 0:
		return fmt.Errorf("it has no steps")
	case !booked && len(t.AskFor)+len(t.Check) > 0:
		return fmt.Errorf("only licensed work, and a workshop's, is asked for")
	}
	return nil
}

// checkTime checks the waits of the work, and what is at stake.
func (t *Task) checkTime() error {
	done := 0.0
	for _, w := range t.Waits {
		if !(w.After >= done) || !(w.Minutes > 0) || w.For == "" || w.Source == "" {
			return fmt.Errorf("a wait is out of order, takes no time, or does not say for what or by whose word")
		}
		done = w.After
	}
	if hands := t.Hands(); !(hands > 0) || done > hands {
		return fmt.Errorf("waits leave %g minutes of hands, and the last comes after %g", hands, done)
	}
	if !(t.AtStake > 0) || math.IsInf(t.AtStake, 1) {
		return fmt.Errorf("it does not say what is at stake")
	}
	return nil
}

// checkCovers checks that what a task covers is there, is about the same part,
// and is no measurement, and that what covers is not covered itself.
func (c *Catalogue) checkCovers(t *Task) error {
	for _, id := range t.Covers {
		i := slices.IndexFunc(c.Tasks, func(o Task) bool { return o.ID == id })
		switch {
		case i < 0 || id == t.ID:
			return fmt.Errorf("it covers %q, which is no other task", id)
		case c.Tasks[i].Per != t.Per:
			return fmt.Errorf("it covers %s, which is about another part", id)
		case c.Tasks[i].Records != "" || len(c.Tasks[i].Covers) > 0:
			return fmt.Errorf("it covers %s, which is a measurement or covers others", id)
		}
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
