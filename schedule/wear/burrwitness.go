package wear

import (
	"fmt"
	"math"

	"limekeep/schedule/record"
)

// ShotsLike says what a timed shot had to be like to witness the burrs' wear,
// and what a click was taken to do.
type ShotsLike struct {
	DoseGrams       float64
	YieldGrams      float64
	Seconds         float64 // that all shots are brought to
	SecondsPerClick float64
	OwnFigure       bool // the seconds a click are the owner's
}

const (
	// UsualSecondsPerClick is how much longer a shot takes for each click finer
	// on a fine hand grinder. Common practice.
	UsualSecondsPerClick = 3.0

	// How far dose and yield of a shot may lie from the usual ones for its time
	// to mean the same. Assumptions.
	doseLikeness  = 0.03
	yieldLikeness = 0.05
)

// witness turns timed shots into the setting, counted towards fine, at which
// each would have taken the same time: burrs that lose their edge need it finer
// and finer. Only shots of like dose and yield are witnesses.
func (c *Condition) witness(g *record.Grinder, checks []record.Dated[record.Measurement]) []TrendReading {
	var doses, yields, seconds []float64
	for _, m := range checks {
		doses, yields = append(doses, m.Body.DoseGrams), append(yields, m.Body.YieldGrams)
	}
	like := &ShotsLike{DoseGrams: medianOf(doses), YieldGrams: medianOf(yields), SecondsPerClick: UsualSecondsPerClick}
	finer := -1.0 // settings usually count up from the zero point, towards coarse
	if g != nil {
		if g.SecondsPerClick > 0 {
			like.SecondsPerClick, like.OwnFigure = g.SecondsPerClick, true
		}
		if g.FinerIsHigher {
			finer = 1
		}
	}
	c.Witness = like
	var alike []record.Dated[record.Measurement]
	for _, m := range checks {
		switch {
		case math.Abs(m.Body.DoseGrams/like.DoseGrams-1) > doseLikeness:
			c.Unlike = append(c.Unlike, Unlike{m.On, fmt.Sprintf("its dose was %g g", m.Body.DoseGrams)})
		case math.Abs(m.Body.YieldGrams/like.YieldGrams-1) > yieldLikeness:
			c.Unlike = append(c.Unlike, Unlike{m.On, fmt.Sprintf("its yield was %g g", m.Body.YieldGrams)})
		default:
			alike = append(alike, m)
			if len(seconds) < referenceReadings {
				seconds = append(seconds, m.Body.Seconds)
			}
		}
	}
	like.Seconds = medianOf(seconds)
	var readings []TrendReading
	for _, m := range alike {
		readings = append(readings, TrendReading{On: m.On, Record: m.ID, Value: evenSetting(m.Body, finer, *like)})
	}
	return readings
}

// evenSetting is the setting, counted towards fine, at which the shot would
// have taken the time that all are brought to: too short a shot needed so many
// clicks finer.
func evenSetting(m record.Measurement, finer float64, like ShotsLike) float64 {
	return finer*m.Setting + (like.Seconds-m.Seconds)/like.SecondsPerClick
}
