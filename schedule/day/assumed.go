package day

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/say"
)

// Assumption is something that a place's forecasts take for granted since nobody said
// it, told once for the whole place.
type Assumption struct {
	Of   say.AssumedOf
	Says string // a sentence with the numbers, and what would replace the guess
}

// Assumed lists what the forecasts of the place rest on that nobody said, each once.
func (f *Forecast) Assumed() []Assumption {
	var all []Assumption
	add := func(a Assumption) {
		if !slices.Contains(all, a) {
			all = append(all, a)
		}
	}
	pasts := map[string]int{}
	for _, x := range f.outcomes {
		name := x.Duty.Equipment.Title()
		for _, a := range say.Assumptions(x, dueTeller{f}.whyFacts(x)) {
			says := fmt.Sprintf("%s (%s).", a.Says, f.Day.Quote(a.Do))
			switch {
			case a.Of == say.AssumedPast:
				pasts[x.Duty.Equipment.ID]++
				continue
			case a.Of == say.AssumedWater && x.Doubt == nil:
				continue // its line says so
			case a.Of == say.AssumedWater:
				says = strings.Replace(says, "This line's water", "The water of "+name, 1)
			case a.Of == say.AssumedVessel && x.Duty.Vessel() != nil:
				part := "the " + string(x.Duty.Vessel().Kind)
				says = strings.Replace(says, part, part+" of "+name, 1)
			}
			add(Assumption{a.Of, says})
		}
	}
	for _, e := range f.Day.Book.Equipment() {
		if n := pasts[e.ID]; n > 0 {
			add(Assumption{say.AssumedPast, fmt.Sprintf("Of %s of %s nobody wrote down when %s last done: a time that is usual for such parts is assumed, until a service or a look says more.",
				kindsOfWork(n), e.Title(), itWasLast(n))})
		}
	}
	slices.SortStableFunc(all, func(a, b Assumption) int { return int(a.Of) - int(b.Of) })
	return all
}

func itWasLast(n int) string {
	if n == 1 {
		return "it was"
	}
	return "they were"
}

func kindsOfWork(n int) string {
	if n == 1 {
		return "one kind of work"
	}
	return fmt.Sprintf("%d kinds of work", n)
}
