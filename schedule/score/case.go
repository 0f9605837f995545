package score

import (
	"fmt"
	"math"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// Case is one forecast beside what came.
type Case struct {
	Task     string          `json:"task"`
	Title    string          `json:"title"`
	Kind     wear.ExpectedOf `json:"kind"` // part, scale, measured or water
	Care     string          `json:"care"` // the catalogue's id of the task
	Record   int64           `json:"record"`
	On       record.Date     `json:"on"`       // day on which it was found
	Foreseen record.Date     `json:"foreseen"` // publication that it is held against

	Found   string   `json:"found"`   // in words or as a number with its unit
	Chances []Chance `json:"chances"` // of what can be found; none of a number
	Chance  float64  `json:"chance"`  // that was given to what was found; of a number, to one as far off or further, on the same side, twice
	Stretch Stretch  `json:"stretch"`

	// Of a number: the middle of what was expected, and the 10 and 90 % points; of water
	// in the unit of the test.
	Expected *figure.Percentiles `json:"expected,omitempty"`
	Unit     string              `json:"unit,omitempty"` // of water

	Early  *record.Date `json:"early"` // window of the task, as it was published; null beyond the horizon
	Likely *record.Date `json:"likely"`
	Late   *record.Date `json:"late"`
	Since  record.Date  `json:"since"` // service before

	Score    float64      `json:"score"`          // ranked probability score; of a number the CRPS, of scale and of water of its logarithm, of a reading in limits
	Interval *float64     `json:"interval_score"` // of a number: of its 10 to 90 % interval, in the unit of the score; null of others
	Fixed    *record.Date `json:"fixed"`          // day that a fixed interval would have named; null where none is said
	Maker    *float64     `json:"maker"`          // the same of a fixed interval, of water of the last test again; null where none is said

	logVariance float64                  // of scale: of what was expected to be found
	modelLogSD  float64                  // error of the model that was part of it
	expected    record.PublishedExpected // with the quantiles of its day alone
	begins      bool                     // nobody knows when the service before was: Since is the first day it can have been
}

// Chance is how likely something was to be found.
type Chance struct {
	What   string  `json:"what"`
	Chance float64 `json:"chance"`
}

// Sooner returns which share of the case lies beyond the window since it had worn
// more than foreseen; with Inside and Later it comes to 1.
func (c Case) Sooner() float64 { return c.Stretch.Within(figure.HighShare, 1) }

// Inside returns the share of the case inside the window.
func (c Case) Inside() float64 { return c.Stretch.Within(figure.LowShare, figure.HighShare) }

// Later returns the share of the case that had worn less than foreseen.
func (c Case) Later() float64 { return c.Stretch.Within(0, figure.LowShare) }

// Looked is a duty with what was done and found, oldest first.
type Looked struct {
	Duty     care.Duty
	Services []record.Dated[record.Service]
}

// Compare holds what was found against what was published before it was known, the
// oldest first.
func Compare(book *record.Book, looked []Looked) []Case {
	last := publishedOf(book)
	cases := []Case{}
	for _, l := range looked {
		if l.Duty.Task == nil || l.Duty.Own {
			continue
		}
		for i, s := range l.Services {
			before := record.Dated[record.Service]{On: l.Duty.Since}
			if i > 0 {
				before = l.Services[i-1]
			}
			if s.Body.Finding == "" && s.Body.Grams == 0 {
				continue
			}
			if c, ok := found(last, l.Duty, before, s); ok {
				cases = append(cases, c)
			}
		}
		cases = append(cases, readings(book, last, l)...)
		cases = append(cases, waters(book, last, l)...)
	}
	slices.SortStableFunc(cases, func(a, b Case) int {
		if a.On != b.On {
			return int(a.On - b.On)
		}
		return int(a.Record - b.Record)
	})
	return cases
}

// made is what one publication expected of one thing.
type made struct {
	record.PublishedExpected
	on         record.Date // of the publication
	modelLogSD float64
}

// published is what the last publication keeps of expectations: its own, and those
// that were held against findings before it.
type published struct {
	last  record.Dated[record.Publication]
	found map[int64][]record.PublishedFound // by record
}

func publishedOf(book *record.Book) published {
	p := published{found: map[int64][]record.PublishedFound{}}
	p.last, _ = book.LastPublished()
	for _, f := range p.last.Body.Found {
		p.found[f.Record] = append(p.found[f.Record], f)
	}
	return p
}

// before returns what was expected of a finding before it was known: what a
// publication has kept of it, or else what the last one expected, where that came
// first.
func (p published) before(id int64, on record.Date, fits func(record.PublishedExpected) bool) (made, bool) {
	for _, f := range p.found[id] {
		if fits(f.PublishedExpected) {
			return made{f.PublishedExpected, f.Foreseen, sdOr(f.ModelLogSD)}, true
		}
	}
	if p.last.ID >= id || p.last.On > on {
		return made{}, false
	}
	for _, e := range p.last.Body.Expected {
		if fits(e) {
			return made{e, p.last.On, sdOr(p.last.Body.ModelLogSD)}, true
		}
	}
	return made{}, false
}

func sdOr(sd float64) float64 {
	if sd > 0 {
		return sd
	}
	return wear.ModelLogSD
}

func newCase(d care.Duty, m made, since record.Date, quantiles record.PublishedPoint) Case {
	m.Points = []record.PublishedPoint{quantiles}
	return Case{
		Task: d.ID, Title: d.Title, Kind: wear.ExpectedOf(m.Of), Care: d.Task.ID, Foreseen: m.on, Since: since, Chances: []Chance{},
		Early: dateOrNil(m.Early), Likely: dateOrNil(m.Likely), Late: dateOrNil(m.Late), modelLogSD: m.modelLogSD, expected: m.PublishedExpected,
	}
}

// found holds a service's finding against what was expected of it.
func found(p published, d care.Duty, before, s record.Dated[record.Service]) (Case, bool) {
	of := wear.ExpectedPart
	if d.Task.Findings == care.FindsScale {
		of = wear.ExpectedScale
	}
	m, ok := p.before(s.ID, s.On, func(e record.PublishedExpected) bool {
		return e.Task == d.ID && e.Of == string(of) && e.Served == before.ID
	})
	if !ok {
		return Case{}, false
	}
	expected, quantiles, ok := expectedOn(m.PublishedExpected, s.On)
	if !ok {
		return Case{}, false
	}
	c := newCase(d, m, before.On, quantiles)
	c.Record, c.On, c.Found = s.ID, s.On, string(s.Body.Finding)
	c.begins = before.ID == 0 && d.Past.Unknown
	maker, says := fixedInterval(d)
	says = says && !c.begins                     // a fixed interval says nothing without a day to count from
	made := float64(s.On-before.On) / maker.Days // share of the interval that had passed
	if says {
		c.Fixed = dateOrNil(before.On + record.Date(math.Round(maker.Days)))
	}
	switch {
	case s.Body.Grams > 0:
		c.weighed(expected, s.Body.Grams)
		if grams := promisedGrams(d, m.EyeMM); says && grams > 0 {
			by := CRPS(distribution{math.Log(max(made*grams, leastAmount))}.with(wear.ScaleGramsLogSD), math.Log(s.Body.Grams))
			c.Maker = &by
		}
	case of == wear.ExpectedScale:
		if m.EyeMM <= 0 {
			return Case{}, false
		}
		see := func(grams float64) []float64 { shares := wear.ScaleShares(grams * m.EyeMM); return shares[:] }
		if !c.seen(expected, see, record.ScaleFindings()) {
			return Case{}, false
		}
		c.logVariance = math.Pow(expected.logSD(), 2) + math.Pow(wear.ScaleEyeLogSD, 2)
		if grams := promisedGrams(d, m.EyeMM); says && grams > 0 {
			by := RankedProbability(see(made*grams), slices.Index(record.ScaleFindings(), c.Found))
			c.Maker = &by
		}
	default:
		if !c.seen(expected, partEyes, record.PartFindings()) {
			return Case{}, false
		}
		if says {
			by := RankedProbability(partEyes(made), slices.Index(record.PartFindings(), c.Found))
			c.Maker = &by
		}
	}
	return c, true
}

// partEyes returns how likely a part is to be found fresh, worn or failed.
func partEyes(reading float64) []float64 {
	shares := wear.PartShares(reading)
	return shares[:]
}

// seen holds what somebody told apart by looking against how likely each was. It
// reports false where it is none of what can be found.
func (c *Case) seen(expected distribution, see func(float64) []float64, what []string) bool {
	k := slices.Index(what, c.Found)
	if k < 0 {
		return false
	}
	chances := make([]float64, len(what))
	for _, amount := range expected {
		for i, share := range see(amount) {
			chances[i] += share / float64(len(expected))
		}
	}
	total := 0.0
	for i, chance := range chances {
		c.Chances = append(c.Chances, Chance{What: what[i], Chance: chance})
		if i < k {
			total += chance
		}
	}
	c.Chance = chances[k]
	c.Stretch = Stretch{From: total, To: min(total+chances[k], 1)}
	c.Score = RankedProbability(chances, k)
	return true
}

// weighed holds grams of scale against what was expected.
func (c *Case) weighed(expected distribution, grams float64) {
	logs := expected.logs()
	c.number(logs, wear.ScaleGramsLogSD, math.Log(grams))
	c.Found = figure.AtMost(grams, 1) + " g"
	in := figure.Over(logs.with(wear.ScaleGramsLogSD))
	c.Expected = &figure.Percentiles{Low: math.Exp(in.Low), Likely: math.Exp(in.Likely), High: math.Exp(in.High)}
	c.logVariance = math.Pow(expected.logSD(), 2) + math.Pow(wear.ScaleGramsLogSD, 2)
}

// number holds a number against a distribution with an error on top.
func (c *Case) number(expected distribution, sd, truth float64) {
	at := expected.below(truth, sd)
	c.Stretch = Stretch{From: at, To: at}
	c.Chance = 2 * min(at, 1-at)
	all := expected.with(sd)
	in := figure.Over(all)
	interval := IntervalScore(in.Low, in.High, 1-Promise, truth)
	c.Score, c.Interval = CRPS(all, truth), &interval
}

// readings holds the condition checks that a duty's gauges live by against where
// their lines were expected.
func readings(book *record.Book, p published, l Looked) []Case {
	var cases []Case
	for _, g := range l.Duty.Gauges {
		if g.Driver.Kind() != care.Checked {
			continue
		}
		turns := append([]record.Dated[record.Service]{{On: l.Duty.Since}}, l.Services...)
		for i, turn := range turns {
			until := book.Until
			if i+1 < len(turns) {
				until = turns[i+1].On
			}
			checks := slices.DeleteFunc(slices.Clone(book.Checks(l.Duty.Equipment.ID)), func(m record.Dated[record.Measurement]) bool {
				return m.On > until || l.Duty.Part != "" && m.Body.Part != l.Duty.Part
			})
			for _, condition := range wear.PartConditions(l.Duty.Equipment, g.Gauge, checks, turn.On) {
				for _, r := range condition.Trend.Readings {
					m, ok := p.before(r.Record, r.On, func(e record.PublishedExpected) bool {
						return e.Task == l.Duty.ID && e.Of == string(wear.ExpectedCheck) && e.Served == turn.ID && e.Gauge == g.Name && e.Part == condition.Part
					})
					if !ok || m.Noise <= 0 {
						continue
					}
					expected, quantiles, ok := expectedOn(m.PublishedExpected, r.On)
					if !ok {
						continue
					}
					c := newCase(l.Duty, m, turn.On, quantiles)
					c.Record, c.On, c.begins = r.Record, r.On, turn.ID == 0 && l.Duty.Past.Unknown
					c.number(expected, m.Noise, r.Value)
					limit := max(g.Limit.Usual, leastAmount)
					c.Score /= limit
					*c.Interval /= limit
					c.Found = fmt.Sprintf("%s %s %s", g.Name, figure.AtMost(r.Value, 2), g.Unit)
					in := figure.Over(expected.with(m.Noise))
					c.Expected = &in
					cases = append(cases, c)
				}
			}
		}
	}
	return cases
}

func dateOrNil(d record.Date) *record.Date {
	if d.IsZero() {
		return nil
	}
	return &d
}

// mostKept is how many findings a publication keeps with what was expected of them,
// so that it does not grow for ever. A kitchen finds some twenty a year.
const mostKept = 300

// Kept returns the cases as a publication keeps them.
func Kept(cases []Case) []record.PublishedFound {
	kept := make([]record.PublishedFound, 0, len(cases))
	for _, c := range cases[max(0, len(cases)-mostKept):] {
		f := record.PublishedFound{Record: c.Record, Foreseen: c.Foreseen, PublishedExpected: c.expected}
		if c.modelLogSD != wear.ModelLogSD {
			f.ModelLogSD = c.modelLogSD
		}
		kept = append(kept, f)
	}
	return kept
}
