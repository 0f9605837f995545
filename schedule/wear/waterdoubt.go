package wear

import (
	"math"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// WaterDoubt is what a water test's forecast rests on.
type WaterDoubt struct {
	LastTest record.Date // zero where there is none
	For      string      // title of the duty whose date a new test would narrow most
	LogSD    float64     // spread that the water gives to its pace today
	Narrows  float64     // what a new test would take off that today
}

// doubt works out when a line's water is too little known: when a new test, as
// good as the last one, would narrow a date that hangs on the water by more than
// a limit. What the last test left open, another one would leave open too; what
// counts is the drift since.
func (r *run) doubt(d *dutyRun) Outcome {
	lw := d.line.water
	o := Outcome{Duty: d.Duty, Since: d.since(), Served: d.served(), Doubt: &WaterDoubt{}}
	if lw.Known {
		o.Doubt.LastTest = lw.Tests[len(lw.Tests)-1].On
		o.Since = o.Doubt.LastTest
	}
	hanging := r.hangingOn(d.line)
	left := make([]float64, len(hanging)) // what a test leaves open of each
	waters := make([]waterState, r.house.Draws.Worlds)
	on := func(day record.Date) []waterState { // of each world
		water := lw.drifting(day)
		for w := range waters {
			waters[w] = lw.in(w, &water)
		}
		return waters
	}
	if lw.Known {
		waters := on(o.Since)
		for i, h := range hanging {
			left[i] = h.spread(waters)
		}
	}
	narrows := func(day record.Date) (most float64, at int) {
		waters := on(day)
		for i, h := range hanging {
			if by := h.spread(waters) - left[i]; by > most {
				most, at = by, i
			}
		}
		return most, at
	}
	// Worked out each quarter, the drift's step, later each half year, and straight
	// between.
	var steps []record.Date
	var gains []float64
	for on := o.Since; ; {
		gain, _ := narrows(on)
		steps, gains = append(steps, on), append(gains, gain)
		if on > r.span.last {
			break
		}
		on += driftDays
		if len(steps) > 8 {
			on += driftDays
		}
	}
	if len(hanging) > 0 {
		gain, i := narrows(r.span.today)
		o.Doubt.Narrows, o.Doubt.For, o.Doubt.LogSD = gain, hanging[i].duty.Title, gain+left[i]
	}
	limits := d.doubt.Limit.Percentiles().Draw(r.house.Draws.Uniforms(d.block(), "limit/"+d.doubt.Name))
	crossings := make([]record.Date, len(limits))
	readings := make([]float64, len(limits))
	amounts := make([]float64, len(limits))
	for w, limit := range limits {
		crossings[w] = d.twiceAYear(foreseen(steps, gains, limit, o.Since, r.span.last), o.Since, w)
		if crossings[w] > r.span.last {
			crossings[w] = never
		}
		readings[w], amounts[w] = o.Doubt.Narrows/limit, o.Doubt.Narrows
	}
	after := crossings // a test made later starts as this one did
	if !lw.Known {
		after = d.usualRhythm(o.Since, len(limits)) // there is none that could tell
	}
	for _, fresh := range r.house.Again {
		_, again := windowAndQuantiles(shifted(after, fresh-o.Since), r.span.last)
		o.Again = append(o.Again, again)
	}
	if !lw.Known {
		// Whatever dates hang on it today: nobody can say what a water does to its
		// machine that was never tested (common practice).
		asked := r.house.Draws.Uniforms(d.block(), "asked for")
		for w := range crossings {
			crossings[w], readings[w] = o.Since, max(1, readings[w])
			if d.unknown() {
				crossings[w], readings[w] = o.Since+record.Date(soonDays.At(asked[w])), 1
			}
		}
	}
	o.Window, o.Due = windowAndQuantiles(crossings, r.span.last)
	o.Expected = r.expectedWater(lw)
	o.Gauges = append([]GaugeOutcome{{Gauge: *d.doubt, Reading: figure.OverInPlace(readings), Amount: figure.OverInPlace(amounts), Window: o.Window}}, d.outcome.Gauges...)
	return o
}

// soonDays is how long a first test may wait from the day the records begin, where
// nobody says that one was made before. Assumption: a few days, a month at the most.
var soonDays = figure.Percentiles{Low: 1, Likely: 5, High: 30}

// seldom is by what a test that could wait for years is brought forward. Assumption.
const seldom = 4

// twiceAYear brings a test forward to what is common practice for raw water. Where so
// little hangs on it that it could wait for years, it waits for a quarter of them, so
// that there is no step between the two.
func (d *dutyRun) twiceAYear(on, since record.Date, world int) record.Date {
	usual, ok := d.usualWait(world)
	if !ok || on == never {
		return on
	}
	return min(on, since+max(usual, (on-since)/seldom))
}

// usualWait returns the days from a test to the next by common practice; false where
// the catalogue names none.
func (d *dutyRun) usualWait(world int) (record.Date, bool) {
	for _, g := range d.gauges {
		if g.limits != nil {
			return record.Date(math.Ceil(g.limits[world])), true
		}
	}
	return 0, false
}

// usualRhythm returns the day of the test after one made on a day, world by world, by
// what is common practice; never where nothing says.
func (d *dutyRun) usualRhythm(since record.Date, worlds int) []record.Date {
	on := make([]record.Date, worlds)
	for w := range on {
		on[w] = never
		if usual, ok := d.usualWait(w); ok {
			on[w] = since + usual
		}
	}
	return on
}

// foreseen gives the day on which a test would narrow a date by so much: as reaches does,
// and beyond the days that were worked out by how a random walk goes on, with the root of
// time. What lies beyond the horizon is drawn in towards it, since the wait goes with the
// square of what a test would narrow; so that a test of which next to nothing hangs waits
// for ever longer, and never leaps out of sight.
func foreseen(days []record.Date, gains []float64, limit float64, since, last record.Date) record.Date {
	end, most := days[len(days)-1], gains[len(gains)-1]
	if most >= limit {
		return reaches(days, gains, limit, never-1)
	}
	if most <= 0 || end <= since {
		return never
	}
	horizon := float64(last - since)
	wait := math.Sqrt(horizon*float64(end-since)) * (limit / most)
	if wait > seldom*horizon {
		return never
	}
	return since + record.Date(math.Ceil(max(wait, float64(end-since))))
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

// hanging is a duty whose date hangs on the water of a line.
type hanging struct {
	duty  *dutyRun
	pace  func(world int, water *waterState) float64 // lives a year
	least float64                                    // lives a year that pass whatever the water is like
}

// A date is not better known than to about a week, since work is done in sittings.
// Assumption.
const leastLifeYears = 7 / 365.25

// spread is the log standard deviation, over the worlds, that their waters of a day
// give to the pace of a duty. A water that would take longer than the horizon
// moves no date, whether it takes twice as long or ten times.
func (h hanging) spread(waters []waterState) float64 {
	var sum, squares float64
	least := math.Log(h.least)
	for w := range waters {
		x := least
		if pace := h.pace(w, &waters[w]); pace > 0 {
			x = math.Log(h.least + 1/(1/pace+leastLifeYears))
		}
		sum += x
		squares += x * x
	}
	n := float64(len(waters))
	return math.Sqrt(max(0, squares/n-(sum/n)*(sum/n)))
}

// hangingOn lists the duties whose dates hang on a line's water: the descaling of
// the vessels that it feeds, and the cartridges that it uses up.
func (r *run) hangingOn(l *lineRun) []hanging {
	const daysAYear = 365
	var all []hanging
	for _, d := range r.duties {
		switch {
		case d.vessel != nil && d.vessel.machine.line == l && d.Has(care.Deposited):
			v, litres, perGram := d.vessel, 0.0, d.middleReading(care.Exposure{ScaleGrams: 1, HardnessMeq: 1 / gramsOfLimePerMeq})
			for i := range record.Date(daysAYear) {
				day := v.machine.timeline.On(r.span.today + 1 + i)
				if v.shape.brews() {
					litres += day.BrewLitres
				} else {
					litres += day.SteamLitres + day.HotWaterLitres
				}
			}
			all = append(all, hanging{duty: d, least: 1.0 / HorizonYears, pace: func(w int, water *waterState) float64 {
				return perGram * litres * v.mgPerLitre(w, water) / 1000
			}})
		case d.stage != nil && d.line == l && d.stage.Kind.Exchanges():
			litres, least := 0.0, 1.0/HorizonYears
			for _, m := range l.machines {
				for i := range record.Date(daysAYear) {
					litres += m.timeline.On(r.span.today + 1 + i).Litres()
				}
			}
			if d.stage.Months > 0 {
				least = max(least, 12/d.stage.Months)
			}
			count := care.Exchanged(*d.stage)
			all = append(all, hanging{duty: d, least: least, pace: func(w int, water *waterState) float64 {
				hardness, alkalinity := l.water.load(w, water)
				return count(care.Exposure{HardnessMeq: litres * hardness, CarbonMeq: litres * min(hardness, alkalinity)})
			}})
		}
	}
	return all
}

// middleReading is what an exposure adds to the gauge of a duty that it brings
// furthest, in the middle world.
func (d *dutyRun) middleReading(e care.Exposure) float64 {
	readings := make([]float64, len(d.multipliers))
	for w := range readings {
		for _, g := range d.gauges {
			readings[w] = max(readings[w], g.Reading(g.Advance(g.Start(w, Service{}), e)))
		}
	}
	figure.SelectQuantiles(readings, figure.LikelyShare)
	return figure.Quantile(readings, figure.LikelyShare)
}

// mgPerLitre gives the mg that a litre of a water, behind fresh cartridges, could
// lay down in a vessel.
func (v *vesselRun) mgPerLitre(world int, s *waterState) float64 {
	if v.boiler != nil {
		return v.boiler.scale(world, v.boiler.offset(world), s, s.drifted, 1, 0)
	}
	_, fresh := v.machine.line.water.deposit(world, s, &v.shape)
	return v.converted[world] * fresh
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
