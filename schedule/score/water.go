package score

import (
	"fmt"
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water"
	"limekeep/water/figure"
)

// testedQuantities are what is foreseen of a water before any treatment.
var testedQuantities = []water.Quantity{water.Hardness, water.Alkalinity}

// waters holds what tests of a line's water before any treatment said of its hardness
// and alkalinity against what was expected: the test before, and how such waters drift.
// Beside it stands who takes the last test to hold for ever.
func waters(book *record.Book, p published, l Looked) []Case {
	if !l.Duty.Task.TestsWater() || l.Duty.Task.TestsBehind() {
		return nil
	}
	var cases []Case
	tests := slices.DeleteFunc(book.WaterTests(l.Duty.Equipment.ID), func(t record.Dated[record.WaterTest]) bool { return t.Body.After != "" })
	for i, t := range tests {
		before := record.Dated[record.WaterTest]{On: l.Duty.Since}
		if i > 0 {
			before = tests[i-1]
		}
		for _, quantity := range testedQuantities {
			found, ok := testedOf(t.Body.Test, quantity)
			if !ok {
				continue
			}
			m, ok := p.before(t.ID, t.On, func(e record.PublishedExpected) bool {
				return e.Task == l.Duty.ID && e.Of == string(wear.ExpectedWater) && e.Served == before.ID && e.Gauge == string(quantity)
			})
			if !ok {
				continue
			}
			expected, quantiles, ok := expectedOn(m.PublishedExpected, t.On)
			if !ok {
				continue
			}
			c := newCase(l.Duty, m, before.On, quantiles)
			c.Record, c.On = t.ID, t.On
			logs := expected.logs()
			c.number(logs, found.logSD, math.Log(found.mgPerL))
			c.Unit = string(found.typed.Unit)
			c.Found = fmt.Sprintf("%s %s %s", quantity, figure.AtMost(found.typed.Value, 2), c.Unit)
			in := figure.Over(logs.with(found.logSD))
			c.Expected = &figure.Percentiles{Low: found.inUnit(in.Low), Likely: found.inUnit(in.Likely), High: found.inUnit(in.High)}
			if last, ok := testedOf(before.Body.Test, quantity); ok {
				by := CRPS(distribution{math.Log(last.mgPerL)}.with(found.logSD), math.Log(found.mgPerL))
				c.Maker = &by
			}
			cases = append(cases, c)
		}
	}
	return cases
}

// tested is one value of a water test as the score takes it.
type tested struct {
	typed  water.Measured
	mgPerL float64 // as CaCO3; what nobody can tell from none counts as much as its spread
	logSD  float64 // of the logarithm, by how it was measured
}

// testedOf returns a value of a water test; false where it is not among them.
func testedOf(t water.Test, quantity water.Quantity) (tested, bool) {
	typed := t.Value(quantity)
	if typed.Quantity == "" {
		return tested{}, false
	}
	o, err := water.NewObservation(typed)
	if err != nil {
		return tested{}, false // cannot be: it was checked when it was written down
	}
	sd := o.SD()
	level := max(o.Value, sd)
	return tested{typed: typed, mgPerL: level, logSD: min(sd/level, 1)}, level > 0
}

// inUnit turns a logarithm of mg/L as CaCO3 into the unit of the test.
func (t tested) inUnit(log float64) float64 {
	value, err := t.typed.Quantity.In(math.Exp(log), t.typed.Unit)
	if err != nil {
		return math.Exp(log) // cannot be: the value itself has that unit
	}
	return value
}
