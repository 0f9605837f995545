package day

import (
	"limekeep/schedule/record"
)

// RoundToday is a round of the routine as it stands today.
type RoundToday struct {
	RoundInfo
	Now  bool  // it is due today, or was and was left out
	Open []Due // its tasks that were not done today
	Done []Due // and those that were
	With []Due // what counts as done with them
	Next record.Date
}

// RoundsToday returns the rounds of the routine, the most frequent first, and what of
// them was done by a day: the forecast's own, or the same with what was written down
// since.
func (f *Forecast) RoundsToday(by *Day) []RoundToday {
	dues := map[string]Due{}
	for _, d := range f.Due() {
		dues[d.Task] = d
	}
	today := by.Today
	last := func(task string) record.Date {
		duty, err := by.Duty(task)
		if err != nil {
			return 0
		}
		service, _ := LastService(by.Book, duty) // never done: no day
		return service.On
	}
	var all []RoundToday
	for _, r := range f.Plan().Rounds {
		round := RoundToday{RoundInfo: r, Now: r.From == today, Next: r.From}
		for _, task := range r.Tasks {
			d := dues[task]
			if last(task) == today {
				round.Done = append(round.Done, d)
				continue
			}
			round.Open = append(round.Open, d)
			if max(d.Fresh, last(task)) < today-record.Date(r.EveryDays) {
				round.Now = true
			}
		}
		for _, task := range r.Covered {
			round.With = append(round.With, dues[task])
		}
		if r.From == today {
			round.Next = today + record.Date(r.EveryDays)
		}
		all = append(all, round)
	}
	return all
}
