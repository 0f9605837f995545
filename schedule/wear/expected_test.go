package wear

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// What is expected of findings agrees with the gauges it is about: today with where
// they stand, later with more, in the order of its shares; and nothing is expected
// where nothing can be found.
func TestExpectedAgreesWithTheGauges(t *testing.T) {
	k := newKitchen(t)
	k.served(200, record.Service{Task: "machine/group-gasket/group"})
	k.served(100, record.Service{Task: "machine/descale/steam", Finding: record.Film})
	seen := map[ExpectedOf]int{}
	for task, o := range k.forecast(t) {
		for _, e := range o.Expected {
			seen[e.Of]++
			if len(e.Points) != len(expectedDays) || e.Points[0].On != today {
				t.Fatalf("%s: points %v", task, e.Points)
			}
			for i, p := range e.Points {
				worn := e.Of == ExpectedWater || i == 0 || p.At[3] >= e.Points[i-1].At[3] // a water gets no harder with time
				if !slices.IsSorted(p.At[:]) || !worn {
					t.Errorf("%s: on %s %v", task, p.On, p.At)
				}
			}
			middle := e.Points[0].At[3]
			switch {
			case e.Of == ExpectedScale:
				if math.Abs(middle-o.Scale.Grams.Likely) > 1e-9 || e.EyeMM <= 0 {
					t.Errorf("%s: %g g are expected today, and %g g are there", task, middle, o.Scale.Grams.Likely)
				}
			case e.Of == ExpectedWater:
				// The kitchen's test says 12 and 9 dH, of 17.85 mg/L as CaCO3 each, and lies a
				// year back; in another the water drifts on.
				of := map[string]float64{"hardness": 12 * 17.85, "alkalinity": 9 * 17.85}[e.Gauge]
				if wider := (e.Points[2].At[5] - e.Points[2].At[1]) / (e.Points[0].At[5] - e.Points[0].At[1]); math.Abs(middle/of-1) > 0.06 || wider < 1.1 || wider > 1.5 {
					t.Errorf("%s: %s of %g mg/L is expected where %g was found, in a year %.2f times as widely", task, e.Gauge, middle, of, wider)
				}
			case e.Of == ExpectedPart && len(o.Gauges) == 1:
				if math.Abs(middle-o.Gauges[0].Reading.Likely) > 1e-9 {
					t.Errorf("%s: %g is expected today, and it stands at %g", task, middle, o.Gauges[0].Reading.Likely)
				}
			}
		}
		if o.Duty.Task.Findings == "none" && len(o.Expected) > 0 && o.Expected[0].Of != ExpectedCheck && o.Expected[0].Of != ExpectedWater {
			t.Errorf("%s records no finding, and %s is expected", task, o.Expected[0].Of)
		}
	}
	if seen[ExpectedScale] != 2 || seen[ExpectedPart] < 5 || seen[ExpectedWater] != 2 {
		t.Errorf("expected are %v", seen)
	}
}

// A place's own error of the model widens what is expected of scale and nothing
// else; none at all is what is assumed of any place, to the bit.
func TestModelErrorWidensScaleAlone(t *testing.T) {
	under := func(logSD float64) map[string]Outcome {
		k := newKitchen(t)
		h := k.household()
		h.ModelLogSD = logSD
		outcomes, err := Forecast(context.Background(), h)
		if err != nil {
			t.Fatal(err)
		}
		all := map[string]Outcome{}
		for _, o := range outcomes {
			all[o.Duty.ID] = o
		}
		return all
	}
	plain, assumed, wide, narrow := under(0), under(ModelLogSD), under(2*ModelLogSD), under(ModelLogSD/2)
	spread := func(p figure.Percentiles) float64 { return p.High / p.Low }
	for task, o := range plain {
		if o.Window != assumed[task].Window {
			t.Errorf("%s: %v by default, %v with the same said", task, o.Window, assumed[task].Window)
		}
		if o.Scale == nil {
			if diff := cmp.Diff(o.Window, wide[task].Window); diff != "" && o.Duty.Gauges[0].Driver != "water doubt" {
				t.Errorf("%s moves with the error of the model for scale:\n%s", task, diff)
			}
			continue
		}
		if a, b, c := spread(narrow[task].Scale.Grams), spread(o.Scale.Grams), spread(wide[task].Scale.Grams); a >= b || b >= c {
			t.Errorf("%s: grams within a factor of %.2f, %.2f and %.2f", task, a, b, c)
		}
	}
}

// A line that rises is expected to go on, the less surely the further ahead; one that
// falls, as readings may, stays where it is, below its reference too.
func TestReadingsAreExpectedOnTheirLine(t *testing.T) {
	line := func(perReading float64) *Condition {
		var readings []TrendReading
		for i := range 8 {
			jitter := 0.1 * float64(i%3-1)
			readings = append(readings, TrendReading{On: today - record.Date(20*(8-i)), Record: int64(i + 1), Value: perReading*float64(i) + jitter})
		}
		return &Condition{Trend: NewTrend(readings, 0.1)}
	}
	up, down := line(1), line(-1)
	if !up.Trend.Sure || !down.Trend.Sure {
		t.Fatal("eight readings on a line say nothing")
	}
	soon, later := up.expectedOn(today), up.expectedOn(today+200)
	if math.Abs(soon.At[3]-up.Trend.At(today)) > 1e-9 || math.Abs(later.At[3]-up.Trend.At(today+200)) > 1e-9 {
		t.Errorf("%v and %v are expected on a line at %g and %g", soon.At, later.At, up.Trend.At(today), up.Trend.At(today+200))
	}
	if later.At[5]-later.At[1] <= soon.At[5]-soon.At[1] {
		t.Errorf("as sure in 200 days, %v, as today, %v", later.At, soon.At)
	}
	stays := down.expectedOn(today + 200)
	if math.Abs(stays.At[3]-down.Trend.At(today-20)) > 1e-9 || stays.At[3] >= 0 {
		t.Errorf("%v is expected of a line that fell to %g", stays.At, down.Trend.At(today-20))
	}
}
