package use

import (
	"math"

	"limekeep/schedule/record"
)

// A rest of the meter is worth a caution from both of these on (assumption): a
// valve that drips a drop in two seconds loses about two litres a day.
const (
	leakLitresPerDay = 0.5
	leakShare        = 0.05 // of what was metered
)

// Leaks reports whether so much more went through the meter than the drinks
// explain that water may be running away.
func (t Total) Leaks() bool {
	return t.Wrong == nil && t.Rest/float64(t.Days()) >= leakLitresPerDay && t.Rest >= leakShare*t.Measured
}

// FallsShort reports whether so much less went through the meter than was drawn
// that the meter or the records must be wrong.
func (t Total) FallsShort() bool {
	return t.Wrong == nil && -t.Rest/float64(t.Days()) >= leakLitresPerDay && -t.Rest >= leakShare*t.Accounted
}

// correctByMeters makes the days agree with the readings of the water meters,
// line by line. Where most of the water went with drinks that were written
// down, it also learns how much water a drink truly takes; the factor, by
// machine, is for all days without a meter.
func correctByMeters(book *record.Book, pasts map[string]*past) (totals []Total, perDrink map[string]waterFactor) {
	perDrink = map[string]waterFactor{}
	for _, e := range book.Equipment() {
		if e.Line == nil {
			continue
		}
		var ids []string
		for id, p := range pasts {
			if p.machine.Machine.Line == e.ID {
				ids = append(ids, id)
			}
		}
		fed := pick(pasts, ids)
		factor := waterFactor{}
		for _, t := range meterTotals(book.MeterReadings(e.ID), e.ID) {
			if t.Wrong == nil {
				logged := loggedLitres(fed, t.From, t.To)
				sds := [classes]float64{writtenDown: waterLogSD, correctedBefore: math.Hypot(waterLogSD, doseLogSD), byHabit: math.Hypot(habitSpread(fed), waterLogSD)}
				t.Accounted, t.Rest = correct(fed, t.From, t.To, t.Measured, Day.Litres, sds,
					func(d Day, c class, factor float64) Day {
						if c == byHabit {
							return d.drunk(factor)
						}
						return d.watered(factor)
					})
				factor.observe(t, logged)
			}
			totals = append(totals, t)
		}
		for _, id := range ids {
			perDrink[id] = factor
			pasts[id].waterBeyond(totals, e.ID, factor.factor())
		}
	}
	return totals, perDrink
}

// meterTotals returns what a line drew from reading to reading.
func meterTotals(readings []record.Dated[record.MeterReading], line string) []Total {
	var last []record.Dated[record.MeterReading] // of each day, the one written down last
	for _, r := range readings {
		if n := len(last); n > 0 && last[n-1].On == r.On {
			last = last[:n-1]
		}
		last = append(last, r)
	}
	var totals []Total
	for i := 1; i < len(last); i++ {
		before, after := last[i-1], last[i]
		t := Total{Of: line, Records: []int64{before.ID, after.ID}, From: before.On + 1, To: after.On}
		t.Measured, t.Wrong = record.MeteredLitres(before.Body, after.Body)
		totals = append(totals, t)
	}
	return totals
}

// waterBeyond applies what the meter of a line taught to the days that it did
// not measure.
func (p *past) waterBeyond(totals []Total, line string, factor float64) {
	for i := range p.days {
		on := p.first + record.Date(i)
		measured := false
		for _, t := range totals {
			measured = measured || t.Of == line && t.Wrong == nil && t.From <= on && on <= t.To
		}
		if !measured {
			p.days[i] = p.days[i].watered(factor)
		}
	}
}

func loggedLitres(pasts []*past, from, to record.Date) float64 {
	litres := 0.0
	for _, p := range pasts {
		for d := from; d <= to; d++ {
			if day, ok := p.on(d); ok && day.Logged {
				litres += day.Litres()
			}
		}
	}
	return litres
}

// waterFactor is what meters teach about the water a drink takes, as the log of
// a factor on common practice or the owner's figures.
type waterFactor struct{ weight, sum float64 }

const (
	// meteredLogSD is how well one metered stretch tells the factor (assumption).
	meteredLogSD = 0.05
	// mostlyLogged is the share of a stretch's water that must have gone with
	// drinks that were written down, or the habit's error would be taken for the
	// drinks' (assumption).
	mostlyLogged = 0.8
)

// observe takes a metered stretch; logged is the water of its days that were
// written down.
func (f *waterFactor) observe(t Total, logged float64) {
	if t.Accounted <= 0 || logged < mostlyLogged*t.Accounted || t.Measured-t.Rest <= 0 {
		return
	}
	f.weight++
	f.sum += math.Log((t.Measured - t.Rest) / t.Accounted)
}

// factor is the middle of what is known, against which a drink takes more
// water, or less.
func (f waterFactor) factor() float64 {
	precision := f.weight / (meteredLogSD * meteredLogSD)
	return math.Exp(f.sum / (meteredLogSD * meteredLogSD) / (precision + 1/(waterLogSD*waterLogSD)))
}

// logSD is how uncertain the factor remains.
func (f waterFactor) logSD() float64 {
	return 1 / math.Sqrt(f.weight/(meteredLogSD*meteredLogSD)+1/(waterLogSD*waterLogSD))
}
