package wear

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// doubt works out when a line's water is too little known for the forecast it
// feeds: the spread, over all worlds, of what it could lay down in the vessel
// that scales most. It grows from test to test as the supply drifts.
func (r *run) doubt(d *dutyRun) Outcome {
	lw := d.line.water
	o := Outcome{Duty: d.Duty, Since: d.Since, Served: d.served(), Doubt: &WaterDoubt{}}
	if lw.Known {
		o.Doubt.LastTest = lw.Tests[len(lw.Tests)-1].On
		o.Since = o.Doubt.LastTest
	}
	// Worked out each half year, twice the drift's step, and straight between.
	var steps []record.Date
	var spreads []float64
	for on := o.Since; ; on += 2 * driftDays {
		steps = append(steps, on)
		spreads = append(spreads, r.waterSpread(d.line, on))
		if on > r.span.last {
			break
		}
	}
	o.Doubt.LogSD = r.waterSpread(d.line, r.span.today)
	limits := d.doubt.Limit.Percentiles().Draw(r.house.Draws.Uniforms(d.block(), "limit/"+d.doubt.Name))
	crossings := make([]record.Date, len(limits))
	readings := make([]float64, len(limits))
	amounts := make([]float64, len(limits))
	for w, limit := range limits {
		crossings[w] = reaches(steps, spreads, limit, r.span.last)
		readings[w], amounts[w] = o.Doubt.LogSD/limit, o.Doubt.LogSD
	}
	o.Window, o.Due = newWindow(crossings), newQuantiles(crossings)
	for _, fresh := range r.house.Again {
		// A test made then starts as this one did.
		o.Again = append(o.Again, newQuantiles(shifted(crossings, fresh-o.Since)))
	}
	o.Gauges = []GaugeOutcome{{Gauge: *d.doubt, Reading: figure.Over(readings), Amount: figure.Over(amounts), Window: o.Window}}
	return o
}

// reaches gives the day on which a spread that was worked out on some days first
// reaches a limit; never after the last day that counts.
func reaches(days []record.Date, spreads []float64, limit float64, last record.Date) record.Date {
	for i, spread := range spreads {
		if spread < limit {
			continue
		}
		on := days[i]
		if i > 0 {
			share := (limit - spreads[i-1]) / (spread - spreads[i-1])
			on = days[i-1] + record.Date(math.Ceil(share*float64(days[i]-days[i-1])))
		}
		if on > last {
			return never
		}
		return on
	}
	return never
}

// leastScaleMg keeps the logarithm of a water that lays down nothing finite;
// whether that is 0 or 3 mg a litre no vessel will tell.
const leastScaleMg = 3.0

// waterSpread gives the log standard deviation, over the worlds, of what the
// line's raw water could lay down in that of its vessels where it lays down
// most: what it does where it does little decides nothing.
func (r *run) waterSpread(l *lineRun, on record.Date) float64 {
	var most, spread float64
	for _, m := range l.machines {
		for _, v := range m.vessels {
			var mean, sum, squares float64
			for w := range r.house.Draws.Worlds {
				raw := v.laysDown(w, l.water.at(w, on))
				x := math.Log(max(raw, leastScaleMg))
				mean += raw
				sum += x
				squares += x * x
			}
			n := float64(r.house.Draws.Worlds)
			if mean/n >= most {
				most, spread = mean/n, math.Sqrt(max(0, squares/n-(sum/n)*(sum/n)))
			}
		}
	}
	return spread
}

// laysDown gives the mg that a litre of the line's water, behind spent
// exchangers, could lay down in a vessel.
func (v *vesselRun) laysDown(world int, s waterState) float64 {
	if v.boiler != nil {
		return v.boiler.scale(world, s, 1, 1)
	}
	spent, _ := v.machine.line.water.deposit(world, s, v.shape)
	return spent
}

// shifted moves crossings by so many days; what was never stays so.
func shifted(crossings []record.Date, days record.Date) []record.Date {
	moved := make([]record.Date, len(crossings))
	for i, c := range crossings {
		if moved[i] = c; c != never {
			moved[i] += days
		}
	}
	return moved
}
