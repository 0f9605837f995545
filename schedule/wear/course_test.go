package wear

import (
	"math"
	"testing"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// The course of a gauge passes through what the forecast says of it: its reading
// today, its limit on the likely day, and what a service left.
func TestCourseAgreesWithTheForecast(t *testing.T) {
	k := newKitchen(t)
	k.courses = true
	k.served(200, record.Service{Task: "machine/group-gasket/group"})
	k.served(100, record.Service{Task: "machine/descale/steam", Finding: record.Film})
	k.served(50, record.Service{Task: "machine/descale/steam", Left: 0.5})
	for task, o := range k.forecast(t) {
		for _, g := range o.Gauges {
			if len(g.Course) == 0 && o.Doubt == nil && !g.Gauge.Driver.OfAbsence() {
				t.Fatalf("%s, %s has no course", task, g.Gauge.Name)
			}
			for i, p := range g.Course {
				if i > 0 && (p.On < g.Course[i-1].On || p.On == g.Course[i-1].On && !p.Fresh) {
					t.Errorf("%s, %s: %s comes after %s", task, g.Gauge.Name, p.On, g.Course[i-1].On)
				}
				if p.On == today && k.worlds <= againWorlds && p.Reading != g.Reading {
					t.Errorf("%s, %s stands at %v today, and on its course at %v", task, g.Gauge.Name, g.Reading, p.Reading)
				}
			}
			if got := likelyOn(g.Course, g.Window.Likely); g.Window.Likely > today && math.Abs(got-1) > 0.12 {
				t.Errorf("%s, %s crosses on %s, where its course stands at %.2f", task, g.Gauge.Name, g.Window.Likely, got)
			}
		}
		if task == "machine/descale/steam" {
			checkSteamCourse(t, o.Gauges[0].Course)
		}
	}
}

// checkSteamCourse holds a course with a whole service and one in part against
// what they do.
func checkSteamCourse(t *testing.T, course []CoursePoint) {
	t.Helper()
	var fresh []int
	for i, p := range course {
		if p.Fresh {
			fresh = append(fresh, i)
		}
	}
	if len(fresh) != 2 {
		t.Fatalf("two services start its course anew, not %d: %+v", len(fresh), course)
	}
	whole, part := course[fresh[0]], course[fresh[1]]
	if whole.On != today-100 || whole.Reading != (figure.Percentiles{}) {
		t.Errorf("after a whole service it stands at %v on %s", whole.Reading, whole.On)
	}
	before := course[fresh[1]-1]
	if part.On != today-50 || part.Amount.Likely <= 0 || part.Amount.Likely >= before.Amount.Likely {
		t.Errorf("a service in part brought %v down to %v", before.Amount, part.Amount)
	}
}

// likelyOn reads a course on a day, straight between its points.
func likelyOn(course []CoursePoint, on record.Date) float64 {
	for i, p := range course {
		if i > 0 && p.On >= on {
			was := course[i-1]
			return was.Reading.Likely + (p.Reading.Likely-was.Reading.Likely)*float64(on-was.On)/float64(p.On-was.On)
		}
	}
	return math.NaN()
}
