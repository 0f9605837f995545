package treatment

import (
	"math"

	"limekeep/water/figure"
)

// The table of BreakthroughNear: values and slopes over the share used, from 0 to twice
// the capacity.
const (
	mostTabled   = 2.0
	tableSteps   = 1024
	tableStep    = mostTabled / tableSteps
	leastTabled  = 1e-9 // below it nothing comes through, so that nobody need ask what
	rootTwoPiInv = 0.3989422804014327
)

var breakthroughTable = func() (table [tableSteps + 1]struct{ value, slope float64 }) {
	for i := range table {
		z := (tableStep*float64(i) - 1) / breakthroughWidth
		table[i].value = figure.NormalBelow(z)
		table[i].slope = tableStep * rootTwoPiInv * math.Exp(-z*z/2) / breakthroughWidth
	}
	return table
}()

// BreakthroughNear is Breakthrough within 1e-9, at a tenth of the time: for years of days
// in hundreds of worlds. It interpolates by Hermite's cubics, whose error here is below
// 2e-10, and lets nothing through where less than 1e-9 would come.
func BreakthroughNear(used float64) float64 {
	if !(used > 0) {
		return 0
	}
	if used >= mostTabled {
		return 1
	}
	at := used / tableStep
	i := int(at)
	t := at - float64(i)
	a, b := &breakthroughTable[i], &breakthroughTable[i+1]
	rise := b.value - a.value
	value := a.value + t*(a.slope+t*(3*rise-2*a.slope-b.slope+t*(a.slope+b.slope-2*rise)))
	if value < leastTabled {
		return 0
	}
	return value
}
