package day

import (
	"math"

	"limekeep/schedule/record"
)

// Expected returns what the services and checks to come are likely to find, as a
// publication keeps it.
func (f *Forecast) Expected() []record.PublishedExpected {
	var all []record.PublishedExpected
	for _, x := range f.outcomes {
		for _, e := range x.Expected {
			p := record.PublishedExpected{
				Task: x.Duty.ID, Served: x.Served, Of: string(e.Of), Gauge: e.Gauge, Part: e.Part, EyeMM: fourDigits(e.EyeMM), Noise: fourDigits(e.Noise),
				Early: x.Window.Early, Likely: x.Window.Likely, Late: x.Window.Late,
			}
			for _, point := range e.Points {
				kept := record.PublishedPoint{On: point.On}
				for _, amount := range point.At {
					kept.At = append(kept.At, fourDigits(amount))
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

// fourDigits rounds a number to four digits, which is more than is known of any.
func fourDigits(x float64) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	scale := math.Pow(10, 3-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale) / scale
}
