package score

import "math"

// Stretch is the part of a forecast's distribution that gives what was found, from
// its lower to its upper share; both are one where what was found is a number.
// Shares count wear: 0.9 is more worn than nine worlds in ten had it.
type Stretch struct {
	From float64 `json:"from"`
	To   float64 `json:"to"`
}

// Within returns which share of the stretch lies between two shares; of a number
// all of it or nothing.
func (s Stretch) Within(low, high float64) float64 {
	if s.To-s.From < 1e-9 {
		if at := (s.From + s.To) / 2; at >= low && (at < high || high >= 1) {
			return 1
		}
		return 0
	}
	return max(0, min(s.To, high)-max(s.From, low)) / (s.To - s.From)
}

// pitClasses is how many equal shares of a forecast findings are sorted into.
const pitClasses = 5

// sortInto counts findings by the share of the forecast that they lie in. An honest
// forecast fills all classes alike; one too sure of itself fills the outer ones.
func sortInto(cases []Case) [pitClasses]float64 {
	var classes [pitClasses]float64
	for i := range classes {
		for _, c := range cases {
			classes[i] += c.Stretch.Within(float64(i)/pitClasses, float64(i+1)/pitClasses)
		}
	}
	return classes
}

// ClassBand returns between which counts a class lies nine times in ten by chance
// alone, if the forecast is honest: the 5 and 95 % points of the binomial
// distribution.
func (t Tally) ClassBand() (low, high float64) {
	below, chance := 0.0, math.Pow(1-1.0/pitClasses, float64(t.Cases)) // of none
	high = -1
	for k := 0; k <= t.Cases; k++ {
		if below += chance; below < 0.05 {
			low = float64(k + 1)
		}
		if high < 0 && below >= 0.95 {
			high = float64(k)
		}
		chance *= float64(t.Cases-k) / float64(k+1) / (pitClasses - 1)
	}
	return low, max(high, low)
}
