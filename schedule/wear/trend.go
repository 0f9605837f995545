package wear

import (
	"math"
	"slices"

	"limekeep/schedule/record"
)

// Trend is a straight line through readings of which a share may be wrong. A
// reading far off the line is marked and not followed; two or more of them in
// a row at the end that agree with one another are a change that is believed.
type Trend struct {
	Readings []TrendReading // oldest first
	Counted  int            // readings the line runs through
	First    record.Date    // of those
	Middle   float64        // mean day of those
	Level    float64        // of the line on the middle day
	LevelSD  float64
	Slope    float64 // of the line, a day
	SlopeSD  float64
	Noise    float64 // standard deviation of a reading about the line
	Sure     bool    // the readings rise or fall by more than chance
	Jumped   bool    // the line starts at a sudden change, and what lay before no longer counts
}

// TrendReading is one reading of a series.
type TrendReading struct {
	On     record.Date
	Record int64
	Value  float64
	FarOff bool // too far off the line to be believed
	Before bool // lies before a sudden change
}

const (
	// Standard deviations of the noise beyond which a reading is far off
	// (common in robust statistics), and how much wider that is drawn for a few
	// readings, whose noise is known badly: times 1 + 5/n (assumption).
	farOffSDs   = 3.5
	farOffOfFew = 5.0
	// Fewer readings cannot say which of them is wrong.
	leastForFarOff = 5
	// The median absolute deviation of a normal distribution is 0.6745 of its
	// standard deviation.
	normalMAD = 1 / 0.6744897501960817
	// Standard normal 97.5 % point: a rise is believed that chance would give
	// one series in forty.
	sureZ = 1.959963984540054
	// Standard errors of the Theil-Sen slope and of a median against those of
	// least squares, for normal noise: Sen (1968), J. Am. Stat. Assoc. 63, 1379;
	// sqrt(π/2).
	slopeInefficiency = 1.05
	levelInefficiency = 1.2533
	// SureReadings is the least number of readings that can rise by more than
	// chance would: of four in order, Mann and Kendall's test is never sure.
	SureReadings = 5
	// Longer series are cut to their latest readings.
	mostReadings = 400
)

// NewTrend lays a line through readings, oldest first. LeastNoise is how finely
// such a reading can be taken at all, in its unit; the noise is never taken to
// be less.
//
// Which readings are far off is judged by repeated medians (Siegel 1982,
// Biometrika 69, 242), which half of the readings cannot lead astray; the line
// through the rest is that of Theil and Sen; whether it rises is judged by Mann
// and Kendall's test, which asks only for the order of the values: so it takes
// those far off as well, lest dropping them makes a rise out of chance.
func NewTrend(readings []TrendReading, leastNoise float64) Trend {
	if len(readings) > mostReadings {
		readings = readings[len(readings)-mostReadings:]
	}
	t := Trend{Readings: slices.Clone(readings)}
	most := t.markFarOff(leastNoise)
	if k := t.jump(most); k >= 0 {
		t.Jumped = true
		for i := range t.Readings {
			t.Readings[i].Before, t.Readings[i].FarOff = i < k, false
		}
	}
	var days, values, tested []float64
	for _, r := range t.Readings {
		if !r.Before {
			tested = append(tested, r.Value)
		}
		if !r.FarOff && !r.Before {
			days, values = append(days, float64(r.On)), append(values, r.Value)
		}
	}
	t.Counted = len(days)
	if t.Counted == 0 {
		return t
	}
	t.First = record.Date(days[0])
	t.fit(days, values, leastNoise)
	t.Sure = t.SlopeSD > 0 && math.Abs(mannKendallZ(tested)) > sureZ
	if !t.Sure {
		t.Level = medianOf(values)
	}
	return t
}

// At gives the line's value on a day: flat where the readings do not move by
// more than chance.
func (t Trend) At(day record.Date) float64 {
	if !t.Sure {
		return t.Level
	}
	return t.Level + t.Slope*(float64(day)-t.Middle)
}

// PerMonth returns by how much a trend grows worse in a month; 0 where that could
// be chance.
func (t Trend) PerMonth() float64 {
	const monthDays = 365.2425 / 12
	if !t.Sure {
		return 0
	}
	return t.Slope * monthDays
}

// markFarOff marks the readings that lie too far off the line through all, and
// gives how far that is; 0 where there are too few to say.
func (t *Trend) markFarOff(leastNoise float64) float64 {
	if len(t.Readings) < leastForFarOff {
		return 0
	}
	days, values := make([]float64, len(t.Readings)), make([]float64, len(t.Readings))
	for i, r := range t.Readings {
		days[i], values[i] = float64(r.On), r.Value
	}
	slope := repeatedMedianSlope(days, values)
	off, noise := offLine(days, values, slope)
	most := farOffSDs * (1 + farOffOfFew/float64(len(days))) * max(noise, leastNoise)
	for i := range t.Readings {
		t.Readings[i].FarOff = math.Abs(off[i]) > most
	}
	return most
}

// jump finds the reading at which a sudden change begins: the first of two or
// more at the end that are far off and agree within what counts as far; -1 for
// none.
func (t *Trend) jump(most float64) int {
	n := len(t.Readings)
	k := n
	for k > 0 && t.Readings[k-1].FarOff && math.Abs(t.Readings[k-1].Value-t.Readings[n-1].Value) <= most {
		k--
	}
	if n-k < 2 {
		return -1
	}
	return k
}

// fit lays the line through what counts.
func (t *Trend) fit(days, values []float64, leastNoise float64) {
	n := float64(len(days))
	t.Middle = meanOf(days)
	t.Slope = theilSenSlope(days, values)
	off, noise := offLine(days, values, t.Slope)
	if n > 2 {
		noise *= math.Sqrt(n / (n - 2)) // two figures were taken from the same readings
	}
	t.Noise = max(noise, leastNoise)
	level := make([]float64, len(off))
	for i := range off {
		level[i] = values[i] - t.Slope*(days[i]-t.Middle)
	}
	t.Level, t.LevelSD = medianOf(level), levelInefficiency*t.Noise/math.Sqrt(n)
	squares := 0.0
	for _, d := range days {
		squares += (d - t.Middle) * (d - t.Middle)
	}
	if squares == 0 {
		return
	}
	t.SlopeSD = slopeInefficiency * t.Noise / math.Sqrt(squares)
}

// offLine gives how far each value lies off the line of a slope through the
// median, and the robust standard deviation of that.
func offLine(days, values []float64, slope float64) (off []float64, sd float64) {
	off = make([]float64, len(days))
	for i := range days {
		off[i] = values[i] - slope*days[i]
	}
	middle := medianOf(off)
	sizes := make([]float64, len(off))
	for i := range off {
		off[i] -= middle
		sizes[i] = math.Abs(off[i])
	}
	return off, normalMAD * medianOf(sizes)
}

// repeatedMedianSlope is the median, over the readings, of the median slope
// from each to all others.
func repeatedMedianSlope(days, values []float64) float64 {
	var medians []float64
	for i := range days {
		var slopes []float64
		for j := range days {
			if days[j] != days[i] {
				slopes = append(slopes, (values[j]-values[i])/(days[j]-days[i]))
			}
		}
		if len(slopes) > 0 {
			medians = append(medians, medianOf(slopes))
		}
	}
	return medianOf(medians)
}

// theilSenSlope is the median slope over all pairs of readings.
func theilSenSlope(days, values []float64) float64 {
	var slopes []float64
	for i := range days {
		for j := range i {
			if days[j] != days[i] {
				slopes = append(slopes, (values[j]-values[i])/(days[j]-days[i]))
			}
		}
	}
	return medianOf(slopes)
}

// mannKendallZ is the statistic of Mann (1945, Econometrica 13, 245) and Kendall
// against no trend, for values in the order of time, corrected for ties and for
// continuity.
func mannKendallZ(values []float64) float64 {
	n := float64(len(values))
	s := 0.0
	for i := range values {
		for j := range i {
			switch {
			case values[i] > values[j]:
				s++
			case values[i] < values[j]:
				s--
			}
		}
	}
	variance := n * (n - 1) * (2*n + 5)
	sorted := slices.Sorted(slices.Values(values))
	for i := 0; i < len(sorted); {
		k := i
		for k < len(sorted) && sorted[k] == sorted[i] {
			k++
		}
		ties := float64(k - i)
		variance -= ties * (ties - 1) * (2*ties + 5)
		i = k
	}
	if s == 0 || variance <= 0 {
		return 0
	}
	return (s - math.Copysign(1, s)) / math.Sqrt(variance/18)
}

// medianOf gives the middle value, or the mean of the two; 0 for none.
func medianOf(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(values))
	k := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[k]
	}
	return (sorted[k-1] + sorted[k]) / 2
}

func meanOf(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}
