package wear

import (
	"math"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// Condition is what the checks of one kind say of one part: how far it has
// moved from its reference, in the unit of the gauge they feed.
type Condition struct {
	Kind      record.MeasurementKind
	Equipment string
	Part      string     // group or vessel; empty where the check is of the whole
	Reference float64    // in the kind's own unit: g/s, minutes, °C, bar, g; clicks towards fine
	Latest    float64    // last reading in the same unit, whether believed or not
	Trend     Trend      // of the departure from the reference; up is worse
	Unlike    []Unlike   // readings that are no witness, and why
	Witness   *ShotsLike // of shot times: what a shot had to be like to count
}

// Unlike is a reading that does not count from the start.
type Unlike struct {
	On  record.Date
	Why string
}

// referenceReadings is how many readings after a service tell what fresh is where
// they do not move: the middle one of them is the reference. Assumption.
const referenceReadings = 3

// finest is how finely a check can be read, in the unit of its departure. All
// are assumptions about kitchen scales, clocks, thermometers and gauges.
var finest = map[record.MeasurementKind]float64{
	record.Flow:            1,    // %
	record.WarmUpTime:      2,    // %
	record.ShotTime:        0.5,  // clicks
	record.BrewTemperature: 0.3,  // K
	record.PumpPressure:    0.1,  // bar
	record.ReferenceMass:   0.02, // %
}

// roomCelsius is what a warm-up starts from where nobody says. Assumption.
const roomCelsius = 20

// raw gives a check's reading in its own unit. A warm-up that did not start at
// the temperature of the room is brought to it, since the time goes with the
// rise: to is the temperature it heats to.
func raw(m record.Measurement, to float64) float64 {
	switch m.Kind {
	case record.Flow:
		return m.Grams / m.Seconds
	case record.WarmUpTime:
		from := m.FromCelsius
		if from == 0 {
			from = roomCelsius
		}
		return m.Minutes * (to - roomCelsius) / (to - from)
	case record.BrewTemperature:
		return m.Celsius
	case record.PumpPressure:
		return m.Bar
	case record.ReferenceMass:
		return m.ShownGrams - m.MassGrams
	}
	return m.Seconds
}

// PartConditions works out what the checks of a gauge's kind say since a day, part
// by part in the order of the parts' ids. A gauge follows the part that has moved
// furthest.
func PartConditions(e record.Equipment, gauge care.Gauge, checks []record.Dated[record.Measurement], since record.Date) []Condition {
	byPart := map[string][]record.Dated[record.Measurement]{}
	for _, c := range checks {
		if string(c.Body.Kind) == string(gauge.Measures) && c.On >= since {
			byPart[c.Body.Part] = append(byPart[c.Body.Part], c)
		}
	}
	var all []Condition
	for part, of := range byPart {
		if c := newCondition(e, part, gauge.Counts, of); len(c.Trend.Readings) > 0 || len(c.Unlike) > 0 {
			all = append(all, c)
		}
	}
	slices.SortFunc(all, func(a, b Condition) int {
		if a.Part < b.Part {
			return -1
		}
		return 1
	})
	return all
}

func newCondition(e record.Equipment, part string, counts care.Counts, checks []record.Dated[record.Measurement]) Condition {
	kind := checks[0].Body.Kind
	c := Condition{Kind: kind, Equipment: e.ID, Part: part}
	var readings []TrendReading
	if kind == record.ShotTime {
		readings = c.witness(e.Grinder, checks)
	} else {
		to := heatedTo(e, part)
		for _, m := range checks {
			readings = append(readings, TrendReading{On: m.On, Record: m.ID, Value: raw(m.Body, to)})
		}
	}
	if len(readings) == 0 {
		return c
	}
	c.Latest = readings[len(readings)-1].Value
	c.Reference = reference(readings, finest[kind])
	scale := 1.0
	switch kind {
	case record.Flow, record.WarmUpTime:
		scale = 100 / c.Reference // per cent
	case record.ReferenceMass:
		c.Reference = 0
		scale = 100 / checks[len(checks)-1].Body.MassGrams
	}
	if counts == care.Loss {
		scale = -scale
	}
	for i := range readings {
		readings[i].Value = (readings[i].Value - c.Reference) * scale
	}
	c.Trend = NewTrend(readings, finest[kind])
	if counts == care.Either && c.Trend.At(c.latestDay()) < 0 { // whichever way it moved is worse
		for i := range readings {
			readings[i].Value = -readings[i].Value
		}
		c.Trend = NewTrend(readings, finest[kind])
	}
	return c
}

// reference is what fresh is by the readings after a service: where the line
// through them stands on the day of the first, if they rise or fall by more than
// chance, since the middle one of a few would be as much too far on as the part
// wore until then; else the middle one of the first few.
func reference(readings []TrendReading, leastNoise float64) float64 {
	if line := NewTrend(readings, leastNoise); line.Sure && !line.Jumped {
		return line.At(line.First)
	}
	return medianOf(valuesOfReadings(readings[:min(referenceReadings, len(readings))]))
}

// latestDay is the day of the last reading.
func (c Condition) latestDay() record.Date {
	if n := len(c.Trend.Readings); n > 0 {
		return c.Trend.Readings[n-1].On
	}
	return 0
}

// heatedTo is the temperature a vessel heats to, its own or its kind's usual.
func heatedTo(e record.Equipment, part string) float64 {
	if e.Machine != nil {
		for _, v := range e.Machine.Vessels {
			if v.ID == part {
				if shape, err := shapeOf(v, e.Machine.Setting); err == nil {
					return shape.celsius
				}
			}
		}
	}
	return usualVessels[record.BrewBoiler][record.Home].celsius
}

// worst picks the condition that is furthest from its reference on a day, the
// first of equals; nil for none.
func worst(all []Condition, day record.Date) *Condition {
	var most *Condition
	height := math.Inf(-1)
	for i := range all {
		if all[i].Trend.Counted == 0 && most != nil {
			continue
		}
		if at := all[i].Trend.At(day); most == nil || at > height {
			most, height = &all[i], at
		}
	}
	return most
}

func valuesOfReadings(readings []TrendReading) []float64 {
	values := make([]float64, len(readings))
	for i, r := range readings {
		values[i] = r.Value
	}
	return values
}
