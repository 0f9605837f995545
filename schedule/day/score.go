package day

import (
	"limekeep/schedule/score"
)

// Score returns how the forecasts of the place fared that were published up to the
// day, worked out once.
func (d *Day) Score() score.Score { return d.scored() }

func (d *Day) score() score.Score {
	looked := make([]score.Looked, len(d.Duties))
	for i, duty := range d.Duties {
		looked[i] = score.Looked{Duty: duty, Services: d.Services(duty)}
	}
	return score.Of(d.Book, looked)
}

// Share returns the score without names, for others.
func (f *Forecast) Share() score.Shared { return score.Share(f.Day.Score(), f.outcomes) }
