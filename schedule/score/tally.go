package score

import (
	"cmp"
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// Tally is how the forecasts of one kind fared.
type Tally struct {
	Of      string  `json:"of"` // "all", a kind, or the catalogue's id of a task
	Cases   int     `json:"cases"`
	Water   int     `json:"water"`  // of these, values of water tests: more is harder there, not more worn
	Sooner  float64 `json:"sooner"` // cases, by shares: had worn more than the window allows
	Inside  float64 `json:"inside"`
	Later   float64 `json:"later"`   // had worn less
	Promise float64 `json:"promise"` // share that windows are to hold
	Low     float64 `json:"low"`     // nine times in ten the true share lies above this ...
	High    float64 `json:"high"`    // ... and below this
	Verdict Verdict `json:"verdict"`
	Needed  int     `json:"needed"` // findings until one can tell; 0 where one can

	Classes [pitClasses]float64 `json:"classes"` // findings by the fifth of the forecast that they lie in, the least worn first

	Told       int      `json:"told"`           // cases that are no numbers, but told apart by looking
	Chance     float64  `json:"chance"`         // given to what was found of those, geometric mean
	Guess      float64  `json:"guess"`          // the same, had all that can be found been equally likely
	Score      float64  `json:"score"`          // mean; ranked probability score or CRPS, less is better
	Interval   *float64 `json:"interval_score"` // mean over the numbers; null where there is none
	Fixed      int      `json:"fixed"`          // cases of which a fixed interval says something, or the last water test
	Ours       *float64 `json:"ours"`           // mean score of those; null for none
	Maker      *float64 `json:"maker"`          // mean score of a fixed interval
	WindowOver float64  `json:"window_over"`    // mean factor from the early date to the late, counted from the service before; 0 where none is known
}

// Reliability is how often something was found that was given such a chance.
type Reliability struct {
	From   float64 `json:"from"` // chance given
	To     float64 `json:"to"`
	Given  float64 `json:"given"` // mean of the chances
	Events int     `json:"events"`
	Came   int     `json:"came"`
}

// Score is how the forecasts of a place fared.
type Score struct {
	Since       *record.Date  `json:"since"` // first publication that kept what it expected; null for none
	Tallies     []Tally       `json:"tallies"`
	Reliability []Reliability `json:"reliability"`
	ModelError  ModelError    `json:"model_error"`
	Cases       []Case        `json:"cases"`
}

// Of scores all that was found at a place.
func Of(book *record.Book, looked []Looked) Score {
	s := Score{Cases: Compare(book, looked)}
	if last, ok := book.LastPublication(); ok && !last.ExpectedSince.IsZero() {
		s.Since = &last.ExpectedSince
	}
	s.Tallies, s.Reliability, s.ModelError = tallies(s.Cases), reliability(s.Cases), Learn(s.Cases)
	return s
}

// tallies counts all cases, then by kind, then by the catalogue's task.
func tallies(cases []Case) []Tally {
	all := []Tally{tallyOf("all", cases)}
	by := func(of func(Case) string) {
		var names []string
		groups := map[string][]Case{}
		for _, c := range cases {
			if groups[of(c)] == nil {
				names = append(names, of(c))
			}
			groups[of(c)] = append(groups[of(c)], c)
		}
		slices.SortFunc(names, cmp.Compare[string])
		for _, name := range names {
			all = append(all, tallyOf(name, groups[name]))
		}
	}
	by(func(c Case) string { return string(c.Kind) })
	by(func(c Case) string { return c.Care })
	return all
}

func tallyOf(of string, cases []Case) Tally {
	t := Tally{Of: of, Cases: len(cases), Promise: Promise, Classes: sortInto(cases)}
	numbers, intervals := 0, 0.0
	ours, maker, chance, guess, windows, known := 0.0, 0.0, 0.0, 0.0, 0.0, 0
	for _, c := range cases {
		t.Sooner, t.Inside, t.Later = t.Sooner+c.Sooner(), t.Inside+c.Inside(), t.Later+c.Later()
		t.Score += c.Score / float64(len(cases))
		if c.Kind == wear.ExpectedWater {
			t.Water++
		}
		if len(c.Chances) > 0 {
			t.Told++
			chance, guess = chance+math.Log(max(c.Chance, leastAmount)), guess-math.Log(float64(len(c.Chances)))
		}
		if c.Interval != nil {
			numbers, intervals = numbers+1, intervals+*c.Interval
		}
		if c.Maker != nil {
			t.Fixed++
			ours, maker = ours+c.Score, maker+*c.Maker
		}
		if c.Early != nil && c.Late != nil && *c.Early > c.Since && !c.begins {
			windows += math.Log(float64(*c.Late-c.Since) / float64(*c.Early-c.Since))
			known++
		}
	}
	if t.Told > 0 {
		t.Chance, t.Guess = math.Exp(chance/float64(t.Told)), math.Exp(guess/float64(t.Told))
	}
	if t.Fixed > 0 {
		ours, maker = ours/float64(t.Fixed), maker/float64(t.Fixed)
		t.Ours, t.Maker = &ours, &maker
	}
	if numbers > 0 {
		intervals /= float64(numbers)
		t.Interval = &intervals
	}
	if known > 0 {
		t.WindowOver = math.Exp(windows / float64(known))
	}
	t.Low, t.High = ClopperPearson(t.Inside, t.Cases)
	t.Verdict = judge(t.Inside, t.Cases)
	if t.Verdict == TooFew {
		t.Needed = CasesToTell - t.Cases
	}
	return t
}

// reliabilityClasses is how many classes of chances are shown.
const reliabilityClasses = 5

// reliability sorts what could have been found by the chance it was given: each
// finding asks of every step of its order whether it was reached.
func reliability(cases []Case) []Reliability {
	all := make([]Reliability, reliabilityClasses)
	for i := range all {
		all[i].From, all[i].To = float64(i)/reliabilityClasses, float64(i+1)/reliabilityClasses
	}
	for _, c := range cases {
		if c.Kind == wear.ExpectedCheck || len(c.Chances) == 0 {
			continue
		}
		reached, above := true, 1.0
		for _, chance := range c.Chances[:len(c.Chances)-1] {
			above = max(0, above-chance.Chance) // that more than this was found
			if chance.What == c.Found {
				reached = false
			}
			k := min(int(above*reliabilityClasses), reliabilityClasses-1)
			all[k].Events++
			all[k].Given += above
			if reached {
				all[k].Came++
			}
		}
	}
	for i := range all {
		if all[i].Events > 0 {
			all[i].Given /= float64(all[i].Events)
		}
	}
	return all
}
