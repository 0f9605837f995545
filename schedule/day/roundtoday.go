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

// RoundsToday returns the rounds of the routine, the most frequent first.
func (f *Forecast) RoundsToday() []RoundToday {
	dues := map[string]Due{}
	for _, d := range f.Due() {
		dues[d.Task] = d
	}
	today := f.Day.Today
	var all []RoundToday
	for _, r := range f.Plan().Rounds {
		round := RoundToday{RoundInfo: r, Now: r.From == today, Next: r.From}
		for _, task := range r.Tasks {
			d := dues[task]
			if d.LastService != nil && *d.LastService == today {
				round.Done = append(round.Done, d)
				continue
			}
			round.Open = append(round.Open, d)
			if d.Fresh < today-record.Date(r.EveryDays) {
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
