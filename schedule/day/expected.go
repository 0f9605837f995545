package day

import (
	"limekeep/schedule/record"
	"limekeep/schedule/score"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// Expected returns what the services and checks to come are likely to find, as a
// publication keeps it.
func (f *Forecast) Expected() []record.PublishedExpected {
	var all []record.PublishedExpected
	for _, x := range f.outcomes {
		for _, e := range x.Expected {
			p := record.PublishedExpected{
				Task: x.Duty.ID, Served: x.Served, Of: string(e.Of), Gauge: e.Gauge, Part: e.Part, EyeMM: figure.Digits(e.EyeMM, 4), Noise: figure.Digits(e.Noise, 4),
			}
			if e.Of != wear.ExpectedWater { // when a test is due says nothing of what it will say
				p.Early, p.Likely, p.Late = x.Window.Early, x.Window.Likely, x.Window.Late
			}
			for _, point := range e.Points {
				kept := record.PublishedPoint{On: point.On}
				for _, amount := range point.At {
					kept.At = append(kept.At, figure.Digits(amount, 4))
				}
				p.Points = append(p.Points, kept)
			}
			all = append(all, p)
		}
	}
	return all
}

// ModelLogSD returns the error of the model that the forecast goes by, as a log
// standard deviation.
func (f *Forecast) ModelLogSD() float64 { return f.modelLogSD }

// Found returns what was expected of all that was found so far, and since when
// expectations are kept, as a publication of the day keeps both.
func (f *Forecast) Found() ([]record.PublishedFound, record.Date) {
	since := f.Day.Today
	if s := f.Day.Score().Since; s != nil {
		since = *s
	}
	return score.Kept(f.Day.Score().Cases), since
}
