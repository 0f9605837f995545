package use

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Forecast is what some days to come will bring together, with its spread.
type Forecast struct {
	From, To  record.Date
	Shots     figure.Percentiles
	Kilograms figure.Percentiles
	Litres    figure.Percentiles
	HotHours  float64
}

// Forecast adds up the next days, from tomorrow on, as far as the timeline reaches.
// The spread holds that of the rate, of the days and how many of them somebody
// is there, and of what a drink takes.
func (t *Timeline) Forecast(days int) Forecast {
	begin := max(t.First, t.Today+1)
	a := Forecast{From: begin, To: min(begin+record.Date(days)-1, t.First+record.Date(len(t.Days))-1)}
	var sum Day
	active := 0.0
	for d := a.From; d <= a.To; d++ {
		day := t.On(d)
		if day.Litres() > 0 {
			active++
		}
		sum = sum.Plus(day)
	}
	drinks := t.factorVariance(active) + t.noise(active, sum.Shots)
	a.Shots = rangeAround(sum.Shots, drinks)
	a.Kilograms = rangeAround(sum.Kilograms, drinks+doseLogSD*doseLogSD)
	a.Litres = rangeAround(sum.Litres(), drinks+t.water.logSD()*t.water.logSD())
	a.HotHours = sum.HotHours
	return a
}

// rangeAround returns the points of a Gamma distribution by its mean and its
// relative variance: like the counts behind it, it is never below 0.
func rangeAround(mean, variance float64) figure.Percentiles {
	if mean <= 0 || variance <= 0 || math.IsInf(variance, 0) {
		return figure.Sure(mean)
	}
	// The library's Gamma distribution brings linear algebra along; this is all of it.
	shape, rate := 1/variance, 1/(variance*mean)
	return figure.By(func(share float64) float64 { return mathext.GammaIncRegInv(shape, share) / rate })
}

// noise is the variance, relative to the square of their sum, of so many days
// to come with so many shots about a known rate.
func (t *Timeline) noise(days, shots float64) float64 {
	if shots <= 0 || days <= 0 {
		return monthLogSD * monthLogSD
	}
	return t.learnt.factor.dispersion.factor()/shots + t.learnt.absence.variance(days) +
		monthLogSD*monthLogSD*min(1, monthDays/days)
}

// factorVariance is the relative variance of the rate over so many days to come.
func (t *Timeline) factorVariance(days float64) float64 {
	mean, variance := t.learnt.factor.moments(days)
	if mean <= 0 {
		return habitLogSD * habitLogSD
	}
	return variance / (mean * mean)
}

// logSD turns a relative variance into a log standard deviation.
func logSD(variance float64) float64 { return math.Sqrt(math.Log1p(variance)) }
