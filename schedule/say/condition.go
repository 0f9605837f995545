package say

import (
	"fmt"
	"math"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/deposit"
	"limekeep/water/figure"
)

// Condition says what was measured of a part and where it leads, or how to write
// a first reading down.
func Condition(x wear.Outcome, g wear.GaugeOutcome, today record.Date, spell schedule.Speller) []string {
	kind := record.MeasurementKind(g.Gauge.Measures)
	c := g.Condition
	if c == nil || c.Trend.Counted == 0 {
		return append([]string{fmt.Sprintf("%s: nothing to go by was measured since %s; %s writes it down.",
			UpperFirst(g.Gauge.Name), x.Since.Long(), spell.Quote(schedule.Action{Verb: schedule.Measure, Kind: kind}))}, unlikeSentences(c)...)
	}
	t := c.Trend
	span := fmt.Sprintf("from %s to %s", t.First.Long(), lastCounted(t).Long())
	if t.First == lastCounted(t) {
		span = "of " + t.First.Long()
	}
	says := []string{fmt.Sprintf("%s: %s by %s %s, measured against %s; the limit is usually %s%s; %s.",
		UpperFirst(g.Gauge.Name), Amount(t.At(today), g.Gauge.Unit), Count(t.Counted, "reading"), span,
		referenceSays(c), Amount(g.Gauge.Limit.Usual, g.Gauge.Unit), limitSpread(g), g.Gauge.Limit.Source)}
	switch {
	case t.Jumped:
		says = append(says, fmt.Sprintf("It changed at once on %s: readings since then agree with one another and not with those before, which no longer count.", t.First.Long()))
	case t.Counted == 1:
		says = append(says, "One reading alone is shown and not followed; take a second.")
	case t.Counted < wear.SureReadings:
		says = append(says, fmt.Sprintf("It takes %d readings before they can point to a date.", wear.SureReadings))
	case !t.Sure:
		says = append(says, "The readings move by no more than chance would, so no date is drawn from how they move.")
	case t.Slope > 0:
		says = append(says, fmt.Sprintf("They grow by %s a month (give or take %s)%s.",
			Amount(t.PerMonth(), g.Gauge.Unit), Amount(wear.Trend{Sure: true, Slope: t.SlopeSD}.PerMonth(), g.Gauge.Unit), crossingSays(g)))
	default:
		says = append(says, "They grow better, not worse.")
	}
	if kind == record.Flow {
		says[0] += boreSentence(x, t.At(today))
	}
	for _, r := range t.Readings {
		if r.FarOff {
			says = append(says, fmt.Sprintf("The reading of %s (%s, record %d) lies far off the others: it is shown and not followed; take it again.",
				r.On.Long(), Amount(r.Value, g.Gauge.Unit), r.Record))
		}
	}
	return append(says, unlikeSentences(c)...)
}

// lastCounted is the day of the last reading that counts.
func lastCounted(t wear.Trend) record.Date {
	last := t.First
	for _, r := range t.Readings {
		if !r.FarOff && !r.Before {
			last = r.On
		}
	}
	return last
}

func limitSpread(g wear.GaugeOutcome) string {
	l := g.Gauge.Limit
	if l.Low == l.High {
		return ""
	}
	return fmt.Sprintf(" (%s to %s)", Bare(l.Low, g.Gauge.Unit), Bare(l.High, g.Gauge.Unit))
}

func crossingSays(g wear.GaugeOutcome) string {
	w := g.Window
	switch {
	case w.Likely.IsZero():
		return fmt.Sprintf(", which does not reach the limit within %d years", wear.HorizonYears)
	case w.Early == w.Late || w.Late.IsZero():
		return ", which reaches the limit about " + w.Likely.Long()
	}
	return fmt.Sprintf(", which reaches the limit about %s (%s to %s)", w.Likely.Long(), w.Early.Long(), w.Late.Long())
}

// referenceSays says what a reading is measured against.
func referenceSays(c *wear.Condition) string {
	reference := ""
	switch c.Kind {
	case record.Flow:
		reference = figure.Rough(c.Reference) + " g/s"
	case record.WarmUpTime:
		reference = figure.Rough(c.Reference) + " minutes from 20 °C"
	case record.BrewTemperature:
		reference = fmt.Sprintf("%.1f °C", c.Reference)
	case record.PumpPressure:
		reference = fmt.Sprintf("%.1f bar", c.Reference)
	case record.ReferenceMass:
		return "the reference mass"
	case record.ShotTime:
		w := c.Witness
		whose := "common practice"
		if w.OwnFigure {
			whose = "your own figure"
		}
		return fmt.Sprintf("setting %s for %s s at %s g to %s g, with %s s a click (%s)",
			figure.Rough(math.Abs(c.Reference)), figure.Rough(w.Seconds), figure.Rough(w.DoseGrams), figure.Rough(w.YieldGrams), figure.Rough(w.SecondsPerClick), whose)
	}
	part := ""
	if c.Part != "" {
		part = " of " + c.Part
	}
	return fmt.Sprintf("the first readings%s (%s)", part, reference)
}

// unlikeSentences names the readings that are no witness from the start.
func unlikeSentences(c *wear.Condition) []string {
	if c == nil || len(c.Unlike) == 0 {
		return nil
	}
	var parts []string
	for _, u := range c.Unlike {
		parts = append(parts, fmt.Sprintf("%s (%s)", u.On, u.Why))
	}
	return []string{"Shots of another dose or yield are no witness: " + strings.Join(parts, ", ") + "."}
}

// absenceSentence says which time away a task goes with.
func absenceSentence(x wear.Outcome) string {
	a := x.Absence
	until := "until further notice"
	if !a.To.IsZero() {
		until = "to " + a.To.Long()
	}
	return fmt.Sprintf("Nobody draws anything from %s %s, so this belongs on %s; %s.", a.From.Long(), until, a.Due.Long(), x.Gauges[0].Gauge.Limit.Source)
}

// boreSentence puts a loss of flow as a bore, where the bore is known: at equal
// pressure flow goes with the area.
func boreSentence(x wear.Outcome, lost float64) string {
	bore := 0.0
	for _, v := range x.Duty.Equipment.Machine.Vessels {
		if v.OrificeMM > 0 && (bore == 0 || v.OrificeMM < bore) {
			bore = v.OrificeMM
		}
	}
	if bore == 0 || lost <= 0 || lost >= 100 {
		return ""
	}
	open := bore - 2*deposit.OrificeThicknessMM(bore, 1-lost/100)
	return fmt.Sprintf(" It is as if the bore of %s mm had become %.2f mm.", figure.Rough(bore), open)
}
