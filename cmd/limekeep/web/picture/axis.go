package picture

import (
	"math"
	"time"

	"limekeep/schedule/record"
)

// dayOf is the start of a date in UTC.
func dayOf(d record.Date) time.Time {
	return time.Date(1, time.January, int(d), 0, 0, 0, 0, time.UTC)
}

// values is an axis of numbers.
type values struct {
	least, most, step float64
	decimals          int
	top, foot         float64 // where most and least lie
}

// valuesFrom makes an axis that begins at a whole number and reaches another.
func valuesFrom(least, most, top, foot float64) values {
	v := valuesUpTo(most-least, top, foot)
	v.least, v.most = least, least+v.most
	return v
}

// valuesUpTo makes an axis from 0 that reaches a number with about four marks at round
// steps.
func valuesUpTo(most, top, foot float64) values {
	if !(most > 0) || math.IsInf(most, 1) {
		most = 1
	}
	size := math.Pow(10, math.Floor(math.Log10(most/4)))
	step := 10 * size
	for _, round := range []float64{1, 2, 2.5, 5} {
		if most/(round*size) <= 5 {
			step = round * size
			break
		}
	}
	v := values{step: step, most: step * math.Ceil(most/step-1e-9), top: top, foot: foot}
	for x := step; v.decimals < 6 && math.Abs(x-math.Round(x)) > 1e-9*x; x *= 10 {
		v.decimals++
	}
	return v
}

// at is where a number lies; beyond the axis it stays at its end.
func (v values) at(x float64) float64 {
	if math.IsNaN(x) {
		x = v.least
	}
	return v.foot - (v.foot-v.top)*min(max((x-v.least)/(v.most-v.least), 0), 1)
}

// marks are the round numbers.
func (v values) marks() []float64 {
	var all []float64
	for i := 0; float64(i)*v.step <= (v.most-v.least)*(1+1e-9); i++ {
		all = append(all, v.least+float64(i)*v.step)
	}
	return all
}

// days is an axis of dates.
type days struct {
	from, to    record.Date
	left, right float64
}

func (d days) at(on record.Date) float64 {
	if d.to <= d.from {
		return d.left
	}
	share := float64(on-d.from) / float64(d.to-d.from)
	return d.left + (d.right-d.left)*min(max(share, 0), 1)
}

// dayMark is a date that an axis names.
type dayMark struct {
	on   record.Date
	text string
}

// marks are the firsts of months, so few that their names fit: about five. Where
// the axis is short, they are days.
func (d days) marks(w Writing) []dayMark {
	var all []dayMark
	span := int(d.to - d.from)
	if span < 75 {
		step := record.Date(max(7, (span/4+6)/7*7))
		for on := d.from + step/2; on < d.to; on += step {
			all = append(all, dayMark{on, w.date(on)})
		}
		return all
	}
	months := 0
	for _, months = range []int{1, 2, 3, 6, 12, 24, 60, 120, 240} {
		if span <= months*30*6 {
			break
		}
	}
	first := dayOf(d.from)
	on := record.NewDate(first.Year(), time.January, 1)
	if months > 12 {
		on = record.NewDate(first.Year()-first.Year()%(months/12), time.January, 1)
	}
	for ; on <= d.to; on = on.AddMonths(months) {
		if on >= d.from {
			all = append(all, dayMark{on, w.month(on)})
		}
	}
	return all
}
