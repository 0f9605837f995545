package day

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/use"
	"limekeep/water/figure"
)

// UseShow is what a machine did and is expected to do.
type UseShow struct {
	Machine  string        `json:"machine"`
	Name     string        `json:"name"`
	From     record.Date   `json:"from"`
	To       record.Date   `json:"to"`
	By       Period        `json:"by"`
	Periods  []UsePeriod   `json:"periods"` // oldest first; none of them lies ahead
	Total    UsePeriod     `json:"total"`
	Sources  []UseSource   `json:"sources"` // what the total came from
	Measured []UseMeasured `json:"measured"`
	Cautions []string      `json:"cautions"`
	Week     []UseWeekday  `json:"week"`     // what is expected, Monday first
	Forecast []UseForecast `json:"forecast"` // from tomorrow on
	Trust    []string      `json:"trust"`    // which record counts where several speak of a day
}

// Period is a stretch of the calendar that use is added up over.
type Period string

// Periods. A week begins on a Monday.
const (
	ByDay   Period = "day"
	ByWeek  Period = "week"
	ByMonth Period = "month"
)

// UsePeriod is the use of some days together.
type UsePeriod struct {
	From           record.Date    `json:"from"`
	To             record.Date    `json:"to"`
	Shots          float64        `json:"shots"`
	Kilograms      float64        `json:"kilograms"`
	Litres         float64        `json:"litres"`
	BrewLitres     float64        `json:"brew_litres"`
	SteamLitres    float64        `json:"steam_litres"`
	HotWaterLitres float64        `json:"hot_water_litres"`
	HotHours       float64        `json:"hot_hours"`
	Days           map[string]int `json:"days"` // by what they rest on: log, by hand, no row, away, habit
}

// UseSource is a record that speaks of the days shown.
type UseSource struct {
	Record     int64   `json:"record,omitempty"` // none for days that rest on no record of use
	Basis      string  `json:"basis"`
	Says       string  `json:"says,omitempty"`
	Days       int     `json:"days"`
	Shots      float64 `json:"shots"`
	NotCounted int     `json:"days_not_counted,omitempty"` // since a more trusted record speaks of them
}

// UseMeasured compares a bag of coffee or a stretch of the water meter with what
// was written down and expected of its days.
type UseMeasured struct {
	Of        string      `json:"of"`
	Unit      string      `json:"unit"` // litres or kg
	Records   []int64     `json:"records"`
	From      record.Date `json:"from"`
	To        record.Date `json:"to"`
	Measured  float64     `json:"measured"`
	Accounted float64     `json:"accounted"`
	Rest      float64     `json:"rest"`            // what nothing explains
	Wrong     string      `json:"wrong,omitempty"` // why it corrects nothing
}

// UseWeekday is what is expected of a day of the week.
type UseWeekday struct {
	Day   string  `json:"day"`
	Shots float64 `json:"shots"`
}

// UseForecast is what some days to come will bring together.
type UseForecast struct {
	Days      int                `json:"days"`
	From      record.Date        `json:"from"`
	To        record.Date        `json:"to"`
	Shots     figure.Percentiles `json:"shots"`
	Kilograms figure.Percentiles `json:"kilograms"`
	Litres    figure.Percentiles `json:"litres"`
	HotHours  float64            `json:"hot_hours"`
}

// trust is the order in which records are believed, for people.
var trust = []string{
	"rows of a log",
	"entries by hand; of an entry over several days the logged ones take their part",
	"a period away",
	"days without a row between those of a log or an entry: nothing drawn",
	"the habit, and guests on top of it",
	"bags of coffee and meter readings add nothing: they correct the sums of their days, those by habit the most",
}

// UseQuery says which use is asked about.
type UseQuery struct {
	Machine  string      // may be left empty where the place has just one
	By       Period      // by week where empty
	From, To record.Date // some weeks up to today where zero
}

// ShowUse adds the use of a machine up.
func (d *Day) ShowUse(q UseQuery) (UseShow, error) {
	book := d.Book
	e, err := Pick(book, q.Machine, "machine", func(e record.Equipment) bool { return e.Machine != nil })
	if err != nil {
		return UseShow{}, err
	}
	if q, err = q.fill(d.Today, e); err != nil {
		return UseShow{}, err
	}
	const ahead = 365
	course := use.NewTimeline(book, e, e.Bought, d.Today+ahead)
	show := UseShow{Machine: e.ID, Name: e.Title(), From: q.From, To: q.To, By: q.By, Trust: trust,
		Periods: []UsePeriod{}, Measured: []UseMeasured{}, Cautions: []string{}}
	for from := q.From; from <= q.To; {
		to := min(q.To, q.By.end(from))
		show.Periods = append(show.Periods, periodOf(course, from, to))
		from = to + 1
	}
	show.Total = periodOf(course, q.From, q.To)
	show.Sources = sourcesOf(book, course, q.From, q.To)
	for _, t := range course.Totals {
		if t.To >= q.From && t.From <= q.To {
			measured, caution := measuredOf(t, e)
			show.Measured = append(show.Measured, measured)
			if caution != "" {
				show.Cautions = append(show.Cautions, caution)
			}
		}
	}
	for i := range 7 {
		day := time.Weekday((i + 1) % 7)
		show.Week = append(show.Week, UseWeekday{Day: day.String(), Shots: course.Rate.ByWeekday[day] * (1 - course.Absent)})
	}
	for _, days := range []int{7, 30, ahead} {
		a := course.Forecast(days)
		show.Forecast = append(show.Forecast, UseForecast{Days: days, From: a.From, To: a.To, Shots: a.Shots, Kilograms: a.Kilograms, Litres: a.Litres, HotHours: a.HotHours})
	}
	return show, nil
}

// fill fills in what a question leaves open.
func (q UseQuery) fill(today record.Date, e record.Equipment) (UseQuery, error) {
	if q.By == "" {
		q.By = ByWeek
	}
	if !slices.Contains([]Period{ByDay, ByWeek, ByMonth}, q.By) {
		return q, &record.FieldError{Field: "by", Value: string(q.By), Want: "day, week or month"}
	}
	if q.To.IsZero() {
		q.To = today
	}
	if err := NotLater("to", q.To, today); err != nil {
		return q, err
	}
	if q.From.IsZero() {
		switch q.By {
		case ByDay:
			q.From = q.To - 13
		case ByWeek:
			q.From = ByWeek.end(q.To) - 8*7 + 1
		case ByMonth:
			q.From = (ByMonth.end(q.To) + 1).AddMonths(-12)
		}
		q.From = max(q.From, min(e.Bought, q.To))
	}
	if q.From > q.To {
		return q, &record.FieldError{Field: "from", Value: q.From.String(), Want: "a day not after the last one, " + q.To.String()}
	}
	return q, nil
}

// end gives the last day of the period that a day lies in.
func (p Period) end(d record.Date) record.Date {
	switch p {
	case ByWeek:
		return d + record.Date((7-int(d.Weekday()))%7)
	case ByMonth:
		return d.MonthEnd()
	}
	return d
}

func periodOf(c *use.Timeline, from, to record.Date) UsePeriod {
	p := UsePeriod{From: from, To: to, Days: map[string]int{}}
	var sum use.Day
	for d := max(from, c.First); d <= to; d++ {
		day := c.On(d)
		sum = sum.Plus(day)
		p.Days[day.Basis.String()]++
	}
	p.Shots, p.Kilograms, p.Litres, p.HotHours = sum.Shots, sum.Kilograms, sum.Litres(), sum.HotHours
	p.BrewLitres, p.SteamLitres, p.HotWaterLitres = sum.BrewLitres, sum.SteamLitres, sum.HotWaterLitres
	return p
}

// sourcesOf lists the records that speak of some days, by number, and after
// them what rests on none.
func sourcesOf(book *record.Book, c *use.Timeline, from, to record.Date) []UseSource {
	byRecord := map[int64]*UseSource{}
	rest := map[use.Basis]*UseSource{}
	for d := max(from, c.First); d <= to; d++ {
		for _, o := range c.Origins(d) {
			s := byRecord[o.Record]
			if s == nil {
				s = &UseSource{Record: o.Record, Basis: o.Basis.String()}
				byRecord[o.Record] = s
			}
			if o.Counted {
				s.Days++
				s.Shots += o.Shots
			} else {
				s.NotCounted++
			}
		}
		if len(c.Origins(d)) == 0 {
			day := c.On(d)
			s := rest[day.Basis]
			if s == nil {
				s = &UseSource{Basis: day.Basis.String()}
				rest[day.Basis] = s
			}
			s.Days++
			s.Shots += day.Shots
		}
	}
	sources := []UseSource{}
	for _, e := range book.Entries {
		if s := byRecord[e.ID]; s != nil {
			s.Says = say.Record(e.Body)
			sources = append(sources, *s)
		}
	}
	for _, b := range []use.Basis{use.BySilence, use.ByAway, use.ByHabit} {
		if s := rest[b]; s != nil {
			sources = append(sources, *s)
		}
	}
	return sources
}

// measuredOf shows a total, and warns where water may be running away.
func measuredOf(t use.Total, machine record.Equipment) (UseMeasured, string) {
	u := UseMeasured{Of: t.Of, Unit: "kg", Records: t.Records, From: t.From, To: t.To, Measured: t.Measured, Accounted: t.Accounted, Rest: t.Rest}
	if t.Of == machine.Machine.Line {
		u.Unit = "litres"
	}
	if t.Wrong != nil {
		u.Wrong = t.Wrong.Error()
		return u, ""
	}
	if u.Unit != "litres" {
		return u, ""
	}
	stretch := fmt.Sprintf("From %s to %s the meter of %s counted %s litres", t.From.Long(), t.To.Long(), t.Of, figure.Rough(t.Measured))
	perDay := figure.Rough(max(t.Rest, -t.Rest) / float64(t.Days()))
	switch {
	case t.Leaks():
		return u, fmt.Sprintf("%s, and %s litres of them, %s litres a day, went through no drink written down or usual. Look for a leak: "+
			"a hose or fitting that weeps, a valve or the drain that runs, the tray. Water near mains electricity: switch off at the plug and close the mains valve before you look behind the machine.",
			stretch, figure.Rough(t.Rest), perDay)
	case t.FallsShort():
		return u, fmt.Sprintf("%s, %s litres a day less than the drinks took. The meter may stand still or be bypassed, or the log may belong to another machine.",
			stretch, perDay)
	}
	return u, ""
}

// RestsOn tells in a few words what the days of the period rest on.
func (p UsePeriod) RestsOn() string {
	var parts []string
	for _, b := range []use.Basis{use.ByLog, use.ByHand, use.BySilence, use.ByAway, use.ByHabit} {
		if n := p.Days[b.String()]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, b))
		}
	}
	return strings.Join(parts, ", ")
}
