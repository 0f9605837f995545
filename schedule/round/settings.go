package round

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"limekeep/schedule/record"
)

// Settings is what somebody says of their rounds: when they work, how far it is from
// place to place, and when each place lets them in.
type Settings struct {
	Who      string  // who goes; may be empty
	From     string  // name of the point where each day begins and ends
	Days     []Hours // of work, by weekday
	Stop     float64 // minutes that a visit takes beside its work; UsualStop where 0
	Licensed bool    // whether they may do licensed work as well
	Legs     []Leg
	Places   map[string]PlaceHours // by id
}

// Hours is a stretch of each day of the week that it names.
type Hours struct {
	Weekday time.Weekday
	Span
}

// PlaceHours is when a place lets somebody in, and when its machines may be cold.
type PlaceHours struct {
	Open  []Hours // empty for whenever the person works
	Quiet []Hours // empty for whenever it is open
}

// Leg is how long it is from one point to another, and back unless another leg says so.
type Leg struct {
	From, To string
	Minutes  float64
}

const (
	// UsualStop is what a visit takes beside its work, in minutes: parking, greeting,
	// carrying in and out. Assumption.
	UsualStop = 10
	// UsualSpeed is how fast one is on the road between two places of a town, in
	// kilometres an hour, where a table has kilometres and says nothing of it. Assumption.
	UsualSpeed = 30
	// UsualLeg is how long it is between any two points where nobody said, in minutes.
	// Assumption: a town.
	UsualLeg = 15
	// mostPlaces bounds a round's table.
	mostPlaces = 500
)

// UsualDays returns the hours of somebody who said nothing of theirs: Monday to Friday from
// eight to five. Assumption.
func UsualDays() []Hours {
	var all []Hours
	for d := time.Monday; d <= time.Friday; d++ {
		all = append(all, Hours{d, Span{8 * 60, 17 * 60}})
	}
	return all
}

// table returns the minutes between the start and some places, by the shortest way over
// the legs; an error names two points that no leg connects.
func (s *Settings) table(places []string) ([][]float64, error) {
	if len(s.Legs) == 0 {
		return usualTable(len(places) + 1), nil
	}
	points := append([]string{s.From}, places...)
	for _, l := range s.Legs {
		for _, p := range []string{l.From, l.To} {
			if !slices.Contains(points, p) {
				points = append(points, p)
			}
		}
	}
	if len(points) > mostPlaces {
		return nil, &record.FieldError{Field: "travel", Value: fmt.Sprintf("%d points", len(points)), Want: fmt.Sprintf("%d at the most", mostPlaces)}
	}
	way := make([][]float64, len(points))
	for i := range way {
		way[i] = make([]float64, len(points))
		for j := range way[i] {
			if i != j {
				way[i][j] = math.Inf(1)
			}
		}
	}
	said := map[[2]int]bool{}
	for _, back := range []bool{false, true} {
		for _, l := range s.Legs {
			i, j := slices.Index(points, l.From), slices.Index(points, l.To)
			if back {
				i, j = j, i
			}
			if i == j || back && said[[2]int{i, j}] {
				continue
			}
			way[i][j] = min(way[i][j], l.Minutes)
			said[[2]int{i, j}] = said[[2]int{i, j}] || !back
		}
	}
	for k := range points { // Floyd and Warshall
		for i := range points {
			for j := range points {
				way[i][j] = min(way[i][j], way[i][k]+way[k][j])
			}
		}
	}
	n := len(places) + 1
	for i := range n {
		way[i] = way[i][:n]
		for j := range n {
			if math.IsInf(way[i][j], 1) {
				return nil, &record.FieldError{Field: "travel", Want: fmt.Sprintf("a way from %s to %s, over other points if need be, or no table at all for %d minutes from anywhere to anywhere", cmp.Or(points[i], "the start"), cmp.Or(points[j], "the start"), UsualLeg)}
			}
		}
	}
	return way[:n], nil
}

// usualTable is how long it is between points where nobody said: UsualLeg each.
func usualTable(n int) [][]float64 {
	way := make([][]float64, n)
	for i := range way {
		way[i] = make([]float64, n)
		for j := range way[i] {
			if i != j {
				way[i][j] = UsualLeg
			}
		}
	}
	return way
}

// on returns the stretches of a weekday.
func on(hours []Hours, d time.Weekday) []Span {
	var all []Span
	for _, h := range hours {
		if h.Weekday == d {
			all = append(all, h.Span)
		}
	}
	slices.SortFunc(all, func(a, b Span) int { return cmp.Compare(a.From, b.From) })
	return all
}

// weekday returns the day of the week of a date.
func weekday(d record.Date) time.Weekday { return d.In(time.UTC).Weekday() }
