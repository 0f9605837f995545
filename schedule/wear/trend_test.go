package wear

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// weekly makes a series of readings a week apart.
func weekly(values ...float64) []TrendReading {
	readings := make([]TrendReading, len(values))
	for i, v := range values {
		readings[i] = TrendReading{On: today + 7*record.Date(i), Record: int64(i + 1), Value: v}
	}
	return readings
}

// noise gives a standard normal number of a series, the same each time.
func noise(series string, i int) float64 {
	return figure.NormalQuantile(Draws{Place: "series"}.Uniform(series, "noise", i, 0))
}

// chance gives a uniform number of a series.
func chance(series, of string, i int) float64 {
	return Draws{Place: "series"}.Uniform(series, of, i, 0)
}

// Slopes and medians by hand.
func TestTrendByHand(t *testing.T) {
	tests := []struct {
		name   string
		values []float64
		slope  float64 // a day
		at     float64 // on the last day
		sure   bool
	}{
		{"nothing", nil, 0, 0, false},
		{"one reading", []float64{3}, 0, 3, false},
		{"a straight line of six", []float64{0, 7, 14, 21, 28, 35}, 1, 35, true},
		{"a line that falls", []float64{35, 28, 21, 14, 7, 0}, -1, 0, true},
		{"flat", []float64{2, 2, 2, 2, 2, 2, 2}, 0, 2, false},
		// Slopes to the wild one differ; the median of all pairs does not care.
		{"a line with one wild reading", []float64{0, 7, 14, 900, 28, 35, 42, 49, 56, 63}, 1, 63, true},
		// Of four in order Mann and Kendall's z is (6-1)/√(4·3·13/18) = 1.70: not sure.
		{"four in order", []float64{0, 7, 14, 21}, 1, 10.5, false},
		// Of five it is (10-1)/√(5·4·15/18) = 2.20: sure.
		{"five in order", []float64{0, 7, 14, 21, 28}, 1, 28, true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := NewTrend(weekly(test.values...), 0.01)
			last := today + 7*record.Date(max(0, len(test.values)-1))
			if math.Abs(got.Slope-test.slope) > 1e-9 || math.Abs(got.At(last)-test.at) > 1e-9 || got.Sure != test.sure {
				t.Errorf("slope %v, at the end %v, sure %t; by hand %v, %v, %t", got.Slope, got.At(last), got.Sure, test.slope, test.at, test.sure)
			}
		})
	}
}

// Mann and Kendall's statistic: of ten in order S = 45 and the variance is
// 10·9·25/18 = 125, so z = 44/√125; with two ties of two it is
// (10·9·25 - 2·(2·1·9))/18 = 123 and S = 43.
func TestMannKendallByHand(t *testing.T) {
	for _, test := range []struct {
		name   string
		values []float64
		want   float64
	}{
		{"ten in order", []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, 44 / math.Sqrt(125)},
		{"ten the other way", []float64{10, 9, 8, 7, 6, 5, 4, 3, 2, 1}, -44 / math.Sqrt(125)},
		{"two ties", []float64{1, 2, 2, 4, 5, 6, 6, 8, 9, 10}, 42 / math.Sqrt(123)},
		{"all the same", []float64{3, 3, 3, 3}, 0},
		{"up and down", []float64{1, 2, 1, 2, 1}, 0},
	} {
		if got := mannKendallZ(test.values); math.Abs(got-test.want) > 1e-12 {
			t.Errorf("%s: %v, by hand %v", test.name, got, test.want)
		}
	}
}

// One reading far off is shown and not followed, wherever it stands; when a
// second agrees with it, both are believed.
func TestOneFarOffIsShownNotFollowed(t *testing.T) {
	line := []float64{0.1, 0.9, 2.1, 2.9, 4.0, 5.1, 5.9, 7.0, 8.1, 9.0}
	clean := NewTrend(weekly(line...), 0.05)
	for i := range line {
		values := append([]float64(nil), line...)
		values[i] += 30
		got := NewTrend(weekly(values...), 0.05)
		for k, r := range got.Readings {
			if r.FarOff != (k == i) {
				t.Errorf("reading %d wild: reading %d far off: %t", i, k, r.FarOff)
			}
		}
		if math.Abs(got.Slope/clean.Slope-1) > 0.05 || got.Jumped {
			t.Errorf("reading %d wild: slope %v, without it %v; jumped %t", i, got.Slope, clean.Slope, got.Jumped)
		}
	}
	jumped := NewTrend(weekly(append(line, 40, 40.4)...), 0.05)
	if !jumped.Jumped || jumped.Counted != 2 || math.Abs(jumped.At(today+77)-40.2) > 1e-9 {
		t.Errorf("after two that agree: jumped %t, %d count, level %v", jumped.Jumped, jumped.Counted, jumped.At(today+77))
	}
	if apart := NewTrend(weekly(append(line, 40, -60)...), 0.05); apart.Jumped {
		t.Error("two that do not agree were believed")
	}
}

// With every fifth reading wrong, the slope is within 10 % of the true one: of
// 500 invented series for each length, at least 95 in 100, and never the wrong
// way. The noise is a twenty-fifth of what the line rises in all.
func TestSlopeWithOutliers(t *testing.T) {
	const series = 500
	for _, n := range []int{20, 30, 60} {
		within, wrongWay := 0, 0
		for s := range series {
			name := fmt.Sprintf("%d/%d", n, s)
			values := make([]float64, n)
			for i := range values {
				values[i] = 0.7*float64(i) + 0.028*float64(n)*noise(name, i)
				if i%5 == int(5*chance(name, "phase", 0)) {
					values[i] += 30 * (chance(name, "size", i) - 0.3)
				}
			}
			got := NewTrend(weekly(values...), 0.01)
			if math.Abs(got.Slope/0.1-1) <= 0.1 {
				within++
			}
			if got.Slope < 0 {
				wrongWay++
			}
		}
		t.Logf("%d readings, a fifth of them wrong: slope within 10 %% in %.1f %% of %d series", n, 100*float64(within)/series, series)
		if within < series*95/100 || wrongWay > 0 {
			t.Errorf("%d readings: within 10 %% in %d of %d, the wrong way in %d", n, within, series, wrongWay)
		}
	}
}

// Flat noise, plain or with every fifth reading wild, raises an alarm in fewer
// than 5 series of 100, whatever their length.
func TestNoAlarmOnFlatNoise(t *testing.T) {
	const series = 500
	for _, wild := range []float64{0, 12} {
		for _, n := range []int{5, 6, 8, 10, 15, 30, 60} {
			alarms, jumps := 0, 0
			for s := range series {
				name := fmt.Sprintf("flat/%v/%d/%d", wild, n, s)
				values := make([]float64, n)
				for i := range values {
					values[i] = noise(name, i)
					if chance(name, "wild", i) < 0.2 {
						values[i] += wild * (chance(name, "size", i) - 0.5)
					}
				}
				got := NewTrend(weekly(values...), 0.01)
				if got.Sure && got.Slope > 0 {
					alarms++
				}
				if got.Jumped {
					jumps++
				}
			}
			t.Logf("%d flat readings, wild by %v: %.1f %% alarms, %.1f %% sudden changes", n, wild, 100*float64(alarms)/series, 100*float64(jumps)/series)
			if alarms+jumps >= series*5/100 {
				t.Errorf("%d readings, wild by %v: %d alarms and %d sudden changes in %d series", n, wild, alarms, jumps, series)
			}
		}
	}
}

// The line goes along with the units of the readings and with their zero.
func TestTrendGoesAlongWithUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Whole numbers and powers of two, so that ties stay ties.
		values := rapid.SliceOfN(rapid.Map(rapid.IntRange(-1000, 1000), func(i int) float64 { return float64(i) }), 5, 30).Draw(t, "values")
		times := rapid.SampledFrom([]float64{0.25, 0.5, 2, 8}).Draw(t, "times")
		plus := float64(rapid.IntRange(-512, 512).Draw(t, "plus"))
		moved := make([]float64, len(values))
		for i, v := range values {
			moved[i] = v*times + plus
		}
		a, b := NewTrend(weekly(values...), 0), NewTrend(weekly(moved...), 0)
		if math.Abs(a.Slope*times-b.Slope) > 1e-6*(1+math.Abs(b.Slope)) {
			t.Fatalf("slope %v times %v became %v", a.Slope, times, b.Slope)
		}
		if a.Sure != b.Sure {
			t.Fatalf("sure %t became %t", a.Sure, b.Sure)
		}
	})
}

func BenchmarkTrend(b *testing.B) {
	values := make([]float64, mostReadings)
	for i := range values {
		values[i] = noise("bench", i)
	}
	readings := weekly(values...)
	for b.Loop() {
		NewTrend(readings, 0.01)
	}
}
