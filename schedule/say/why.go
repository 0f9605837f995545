package say

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/boiler"
	"limekeep/water/figure"
)

// WhyFacts is what the sentences on an outcome need beside it.
type WhyFacts struct {
	Today   record.Date
	Spell   schedule.Speller    // of what can be done next
	Changed record.Date         // the day of the place file that changed the catalogue
	Drains  *wear.DrainEffect   // what draining its vessel would do; nil for a task that drains none
	Makers  []Maker             // the machines whose shots wear it
	Name    func(string) string // what people call equipment by its id; by the id where nil
}

func (f WhyFacts) name(id string) string {
	if f.Name == nil {
		return id
	}
	return f.Name(id)
}

// Maker is a machine with its expected use.
type Maker struct {
	Name       string             // for people
	Weekly     float64            // shots a week
	LoggedDays float64            // of the last eight weeks that its rate rests on
	Assumed    bool               // nobody stated its habit
	Milk       figure.Percentiles // share of its shots with milk where nobody said it; else zero
	HotWater   figure.Percentiles // litres a day drawn from it where nobody said it; else zero
}

// Why explains an outcome in plain sentences with the numbers it rests on.
func Why(x wear.Outcome, facts WhyFacts) []string {
	var says []string
	if x.Scale != nil {
		says = append(says, scaleSentences(x)...)
	}
	for _, g := range x.Gauges {
		if g.Gauge.Driver == care.ByWaterDoubt {
			says = append(says, doubtSentence(x, g))
			continue
		}
		switch {
		case x.Absence != nil:
			says = append(says, absenceSentence(x))
		case g.Gauge.Driver == care.ByTrend:
			says = append(says, Condition(x, g, facts.Today, facts.Spell)...)
		default:
			says = append(says, gaugeSentence(x, g))
		}
	}
	if !x.NearsEnd.IsZero() {
		says = append(says, fmt.Sprintf("The cartridge is likely used up about %s: the nearer that comes the sooner it is tested again, at half of what is left of it.", x.NearsEnd.Long()))
	}
	if facts.Drains != nil {
		says = append(says, drainSentence(facts.Drains))
	}
	if len(facts.Makers) > 0 {
		says = append(says, useSentence(facts.Makers))
	}
	for _, g := range x.Grinding {
		says = append(says, grindingSentence(g, facts))
	}
	if x.Learned != nil {
		says = append(says, Unexpected(x, facts.Spell)...)
		says = append(says, Taught(x))
	}
	says = append(says, assumedSentences(x, facts)...)
	says = append(says, Changes(x.Duty, facts.Changed)...)
	if x.Absence != nil || trendsAlone(x.Duty) && x.Window.Likely.IsZero() {
		return says // its day is said, or nothing was measured that could say one
	}
	return append(says, windowSentence(x, facts.Today))
}

func scaleSentences(x wear.Outcome) []string {
	s := x.Scale
	part := partName(x.Duty)
	tested := "The water of this line was never tested, so all drinking waters are possible"
	if !s.LastTest.IsZero() {
		tested = fmt.Sprintf("By the water tests up to %s", s.LastTest.Long())
		if s.District != "" {
			tested += fmt.Sprintf(", the last of them of the district %s, from which the water here may differ by a tenth (assumption)", s.District)
		}
	}
	behind := ""
	if s.Treated {
		behind = ", behind its cartridge, as spent as it is by then"
	}
	says := []string{
		fmt.Sprintf("About %s through the %s, whose heated wall is near %.0f °C.", litresGo(s.LitresPerWeek), part, s.WallCelsius),
		fmt.Sprintf("%s, a litre to come could lay down %s mg of scale there (one chance in ten below %s, one above %s)%s; a share of %s of that is taken to stay as scale (%s to %s).",
			tested, figure.Rough(s.MgPerLitre.Likely), figure.Rough(s.MgPerLitre.Low), figure.Rough(s.MgPerLitre.High), behind,
			figure.Rough(s.Multiplier.Likely), figure.Rough(s.Multiplier.Low), figure.Rough(s.Multiplier.High)),
	}
	if s.Concentrated.Likely >= 1.05 {
		says = append(says, fmt.Sprintf("Its water is about %s times as concentrated as its feed, since steam leaves its salts behind.", figure.Rough(s.Concentrated.Likely)))
	}
	if s.ExcessKelvin.High >= 1 {
		says = append(says, fmt.Sprintf("What lies there is %s mm (%s to %s) on the heated wall, under which an element runs about %s °C hotter (%s to %s); a warm-up takes about %s s and %s kJ more for it.",
			figure.Rough(s.MM.Likely), figure.Rough(s.MM.Low), figure.Rough(s.MM.High), figure.Rough(s.ExcessKelvin.Likely), figure.Rough(s.ExcessKelvin.Low), figure.Rough(s.ExcessKelvin.High),
			figure.Rough(s.WarmUpSeconds.Likely), figure.Rough(s.WarmUpSeconds.Likely*s.Watts/1000)))
	}
	if limit := boiler.UsualLimits().SilicaMgPerL; s.SilicaMgPerLitre.High > limit {
		says = append(says, fmt.Sprintf("Its water may hold %s mg/L of silica (%s to %s), above the %s that boilers are run at: what silica lays down is hard as glass, and no acid of the kitchen takes it off.",
			figure.Rough(s.SilicaMgPerLitre.Likely), figure.Rough(s.SilicaMgPerLitre.Low), figure.Rough(s.SilicaMgPerLitre.High), figure.Rough(limit)))
	}
	if s.FlowLost.High >= 0.01 {
		says = append(says, fmt.Sprintf("At the smallest bore it takes about %s %% of the flow (%s to %s).",
			figure.Rough(100*s.FlowLost.Likely), figure.Rough(100*s.FlowLost.Low), figure.Rough(100*s.FlowLost.High)))
	}
	return says
}

// litresGo says how much water goes somewhere in a week, with the verb.
func litresGo(perWeek float64) string {
	if text := figure.Rough(perWeek); text != "1" {
		return text + " litres a week go"
	}
	return "1 litre a week goes"
}

// drainSentence says what monthly draining of a steam boiler would do.
func drainSentence(d *wear.DrainEffect) string {
	scale := "and would cost"
	grams := d.ScaleWithGrams - d.ScaleWithoutGrams
	if grams < 0 {
		scale, grams = "and would save", -grams
	}
	return fmt.Sprintf("Drawing half of its water down each month would hold its chloride at about %s mg/L after a year instead of %s, %s about %s g of scale a year against %s g without.",
		figure.Rough(d.ChlorideWithMgPerL), figure.Rough(d.ChlorideWithoutMgPerL), scale, figure.Rough(grams), figure.Rough(d.ScaleWithoutGrams))
}

func gaugeSentence(x wear.Outcome, g wear.GaugeOutcome) string {
	limit := g.Gauge.Limit
	spread := fmt.Sprintf("the limit is usually %s", Amount(limit.Usual, g.Gauge.Unit))
	if limit.Low != limit.High {
		spread += fmt.Sprintf(" (%s to %s)", Bare(limit.Low, g.Gauge.Unit), Bare(limit.High, g.Gauge.Unit))
	}
	today := Amount(g.Amount.Likely, g.Gauge.Unit)
	if g.Amount.High-g.Amount.Low > 0.02*g.Amount.Likely {
		today += fmt.Sprintf(" (%s to %s)", Bare(g.Amount.Low, g.Gauge.Unit), Bare(g.Amount.High, g.Gauge.Unit))
	}
	pace := ""
	if g.Gauge.Driver != care.ByDays && figure.Rough(g.PerWeek) != "0" {
		pace = fmt.Sprintf("; about %s a week to come", Amount(g.PerWeek, g.Gauge.Unit))
	}
	return fmt.Sprintf("%s: %s %s; %s; %s%s.%s", UpperFirst(g.Gauge.Name), today, sinceWords(x), spread, limit.Source, pace, FeedSentence(g))
}

// FeedSentence says of what gathers in a steam boiler that its feed alone is likely
// to bring more than the limit; empty where it does not.
func FeedSentence(g wear.GaugeOutcome) string {
	limit := g.Gauge.Limit.Usual
	if g.Gauge.Driver.Kind() != care.Dissolved || g.Fresh.Likely <= limit {
		return ""
	}
	helps := "treat the water, or use another source"
	if g.Gauge.Driver == care.ByBoilerChloride {
		helps = "no softener takes chloride, but another source or reverse osmosis does"
	}
	return fmt.Sprintf(" The feed alone brings %s (%s to %s): no refreshing gets below that, and so none is asked for on its account; %s.",
		Amount(g.Fresh.Likely, g.Gauge.Unit), Bare(g.Fresh.Low, g.Gauge.Unit), Bare(g.Fresh.High, g.Gauge.Unit), helps)
}

func doubtSentence(x wear.Outcome, g wear.GaugeOutcome) string {
	by := x.Doubt
	if by.For == "" {
		return "Nothing of this place hangs on this line's water."
	}
	factor := func(logSD float64) float64 { return math.Exp(1.2816 * logSD) }
	open := func(state string) string {
		return fmt.Sprintf("%s; what hangs most on a new one is “%s”, whose pace the water leaves open to a factor of %.2f either way", state, by.For, factor(by.LogSD))
	}
	if by.LastTest.IsZero() {
		return open("This line's water was never tested") + ": the first test narrows that most of all."
	}
	return fmt.Sprintf("%s: a test as good would narrow that to %.2f, by %s %% of the distance, and pays from about %s %% on; %s.",
		open("The last water test is of "+by.LastTest.Long()), factor(by.LogSD-by.Narrows), figure.AtMost(100*by.Narrows, 1), figure.Rough(100*g.Gauge.Limit.Usual), g.Gauge.Limit.Source)
}

// useSentence says where the use behind the gauges comes from.
func useSentence(makers []Maker) string {
	var parts []string
	for _, m := range makers {
		habit := "stated habit"
		if m.Assumed {
			habit = "what such places usually make"
		}
		from := habit + " alone"
		if m.LoggedDays > 0 {
			from = fmt.Sprintf("%s and %s of the last eight weeks", habit, Count(int(math.Round(m.LoggedDays)), "logged day"))
		}
		parts = append(parts, fmt.Sprintf("%s makes about %s shots a week, by %s", m.Name, figure.Rough(m.Weekly), from))
	}
	return UpperFirst(strings.Join(parts, "; ")) + "."
}

// Taught says what findings changed of an outcome whose Learned is set.
func Taught(x wear.Outcome) string {
	t := x.Learned
	what, unit := "its limit", ""
	switch {
	case x.Scale != nil:
		what = "the share that ends as scale"
	case len(x.Gauges) > 0:
		unit = x.Gauges[0].Gauge.Unit
	}
	amount := Amount
	if unit == "" || strings.HasPrefix(unit, "of the ") {
		amount = Bare // a share, which says so
	}
	return fmt.Sprintf("What was found (%s) moved %s from %s (%s to %s) to %s (%s to %s).",
		Count(t.Findings, "finding"), what,
		amount(t.Before.Likely, unit), Bare(t.Before.Low, unit), Bare(t.Before.High, unit),
		amount(t.After.Likely, unit), Bare(t.After.Low, unit), Bare(t.After.High, unit))
}

func windowSentence(x wear.Outcome, today record.Date) string {
	w := x.Window
	horizon := today.AddMonths(12 * wear.HorizonYears)
	if w.Likely.IsZero() {
		if w.Early.IsZero() {
			return fmt.Sprintf("It is not due within the %d years that can be foreseen, up to %s.", wear.HorizonYears, horizon.Long())
		}
		return fmt.Sprintf("One chance in ten that it is due by %s; more likely than not it lies beyond %s.", w.Early.Long(), horizon.Long())
	}
	late := "one beyond " + horizon.Long()
	if !w.Late.IsZero() {
		late = "one after " + w.Late.Long()
	}
	first := ""
	if len(x.Gauges) > 1 {
		first = fmt.Sprintf(", most likely by “%s”", firstGauge(x).Gauge.Name)
	}
	tense := "falls due"
	if w.Likely < today {
		tense = "fell due"
	}
	if w.Early == w.Likely && w.Late == w.Likely {
		return fmt.Sprintf("It %s on %s%s.", tense, w.Likely.Long(), first)
	}
	return fmt.Sprintf("It %s about %s%s; one chance in ten before %s, %s.", tense, w.Likely.Long(), first, w.Early.Long(), late)
}

// trendsAlone reports whether a duty falls due by what is measured alone.
func trendsAlone(d care.Duty) bool {
	return !slices.ContainsFunc(d.Gauges, func(g care.BoundGauge) bool { return g.Driver != care.ByTrend })
}

// firstGauge is the gauge whose own window comes first.
func firstGauge(x wear.Outcome) wear.GaugeOutcome {
	first := x.Gauges[0]
	for _, g := range x.Gauges[1:] {
		if g.Window.Likely != 0 && (first.Window.Likely == 0 || g.Window.Likely < first.Window.Likely) {
			first = g
		}
	}
	return first
}

func partName(d care.Duty) string {
	if m := d.Equipment.Machine; m != nil {
		for _, v := range m.Vessels {
			if v.ID == d.Part {
				return string(v.Kind)
			}
		}
	}
	return d.Part
}
