package advice

import (
	"slices"

	"limekeep/schedule/day"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
)

// SetUp is what follows from setting a place up, or from changing it.
type SetUp struct {
	Assumed []string    `json:"assumed"` // what was taken for granted, a sentence each
	Next    []string    `json:"next"`    // three things to do
	Moved   []MovedDate `json:"moved"`   // dates that a change moved, the furthest first; none of a place that is new
	Others  int         `json:"further"` // dates that moved as well and are not listed
}

// AnswerToSetUp says what follows from a set-up, by the forecast of the day after it.
// taken is what was taken for granted while it was read; asked says that questions were
// asked, so that taken holds already what those left open. before is what was expected
// before it, nil of a place that is new.
func AnswerToSetUp(f *day.Forecast, taken []string, asked bool, before []wear.Outcome) SetUp {
	s := SetUp{Assumed: append([]string{}, taken...), Next: FirstSteps(f), Moved: []MovedDate{}}
	for _, a := range f.Assumed() {
		if asked && slices.Contains([]say.AssumedOf{say.AssumedPast, say.AssumedHabit, say.AssumedMilk, say.AssumedHotWater, say.AssumedWater}, a.Of) {
			continue
		}
		s.Assumed = append(s.Assumed, a.Says)
	}
	if before != nil {
		a := Answer{Moved: []MovedDate{}}
		a.compare(f, before, "")
		s.Moved, s.Others = a.Moved, a.Others
	}
	return s
}
