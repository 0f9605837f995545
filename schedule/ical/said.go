package ical

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/record"
	"limekeep/schedule/recur"
)

// Said is what an app says of a to-do in the VTODO it sends.
type Said struct {
	UID        string
	Summary    string
	Details    string
	Categories []string
	Due        record.Date // the day of DUE, or of DTSTART where there is no DUE; zero for none
	Start      record.Date // the day of DTSTART, or of DUE where there is none; zero for none
	EveryDays  float64     // of its RRULE; 0 for none
	Times      int         // COUNT of its RRULE; 0 for none
	Until      record.Date // the day of its UNTIL; zero for none
	Occurrence []Occurrence

	status    string
	percent   int
	completed time.Time
	ended     bool // there is a COMPLETED, whether it can be read or not
}

// Occurrence is what is said of one day of a to-do that recurs (RECURRENCE-ID).
type Occurrence struct {
	On   record.Date
	Done bool
}

// ErrNoTodo says that a calendar holds no VTODO to read.
var ErrNoTodo = errors.New("there is no VTODO in it")

// ReadTodo reads what an app sent, with days as the clock at a place shows them.
// A property that cannot be read counts as absent: apps send much that nobody
// asked for.
func ReadTodo(cal *goical.Calendar, zone *time.Location) (Said, error) {
	var said Said
	found := false
	for _, c := range cal.Children {
		if c.Name != goical.CompToDo {
			continue
		}
		if at := c.Props.Get(goical.PropRecurrenceID); at != nil {
			one := Said{}
			one.readState(c, zone)
			if day := dayOf(at, zone); day != 0 {
				said.Occurrence = append(said.Occurrence, Occurrence{On: day, Done: one.Done()})
			}
			continue
		}
		if found {
			return Said{}, fmt.Errorf("%w: it holds more than one", ErrNoTodo)
		}
		found = true
		said.read(c, zone)
	}
	if !found && len(said.Occurrence) == 0 {
		return Said{}, ErrNoTodo
	}
	return said, nil
}

func (s *Said) read(c *goical.Component, zone *time.Location) {
	s.UID, _ = c.Props.Text(goical.PropUID)
	s.Summary, _ = c.Props.Text(goical.PropSummary)
	s.Details, _ = c.Props.Text(goical.PropDescription)
	for _, p := range c.Props.Values(goical.PropCategories) {
		if list, err := p.TextList(); err == nil {
			s.Categories = append(s.Categories, list...)
		}
	}
	s.Start, s.Due = dayOf(c.Props.Get(goical.PropDateTimeStart), zone), dayOf(c.Props.Get(goical.PropDue), zone)
	if s.Due == 0 {
		s.Due = s.Start
	}
	if s.Start == 0 {
		s.Start = s.Due
	}
	if rule := c.Props.Get(goical.PropRecurrenceRule); rule != nil {
		s.EveryDays = everyDays(rule.Value)
		if r, err := recur.ParseRule(rule.Value); err == nil && s.EveryDays > 0 {
			s.Times = r.Count
			if !r.Until.IsZero() {
				s.Until = sane(record.DateOf(r.Until.In(zone).In(zone)))
			}
		}
	}
	s.readState(c, zone)
}

func (s *Said) readState(c *goical.Component, zone *time.Location) {
	if p := c.Props.Get(goical.PropStatus); p != nil {
		s.status = strings.ToUpper(strings.TrimSpace(p.Value))
	}
	s.percent = -1
	if p := c.Props.Get(goical.PropPercentComplete); p != nil {
		if n, err := p.Int(); err == nil {
			s.percent = n
		}
	}
	if p := c.Props.Get(goical.PropCompleted); p != nil {
		s.ended = true
		if at, err := p.DateTime(zone); err == nil {
			s.completed = at
		}
	}
}

// Done tells whether a to-do is done. RFC 5545 has three ways to say so (3.8.1.11,
// 3.8.1.8, 3.8.2.1), and apps send any of them or all. What is sent twice means
// the same twice, whatever it was before: a status that says otherwise counts
// against a leftover only together with a percentage that does.
func (s Said) Done() bool {
	switch s.status {
	case "COMPLETED":
		return true
	case "CANCELLED":
		return false
	}
	if s.status != "" && s.percent >= 0 && s.percent < 100 {
		return false
	}
	return s.percent == 100 || s.ended
}

// Open tells whether a to-do is open: not done, and not cancelled either.
func (s Said) Open() bool { return s.status != "CANCELLED" && !s.Done() }

// At is when it was done, zero where that is not said.
func (s Said) At() time.Time { return s.completed }

// dayOf gives the day of a property; zero where it has none that can be read.
func dayOf(p *goical.Prop, zone *time.Location) record.Date {
	if p == nil {
		return 0
	}
	if p.ValueType() == goical.ValueDate || len(strings.TrimSpace(p.Value)) == len("20060102") {
		t, err := time.Parse("20060102", strings.TrimSpace(p.Value))
		if err != nil {
			return 0
		}
		return sane(record.DateOf(t))
	}
	t, err := p.DateTime(zone)
	if err != nil {
		// A zone that only the calendar itself describes: its clock is near enough.
		plain, _, _ := strings.Cut(strings.TrimSuffix(strings.TrimSpace(p.Value), "Z"), "T")
		day, err := time.Parse("20060102", plain)
		if err != nil {
			return 0
		}
		return sane(record.DateOf(day))
	}
	return sane(record.DateOf(t.In(zone)))
}

// sane leaves out days that no task of ours can have.
func sane(d record.Date) record.Date {
	if d < record.NewDate(1970, time.January, 1) || d > record.NewDate(2200, time.January, 1) {
		return 0
	}
	return d
}

// everyDays reads the interval of a recurrence rule (RFC 5545, 3.3.10), whatever
// else it says; 0 where it has none of a day or more.
func everyDays(rule string) float64 {
	days, interval := 0.0, 1.0
	for part := range strings.SplitSeq(strings.ToUpper(rule), ";") {
		name, value, _ := strings.Cut(strings.TrimSpace(part), "=")
		switch name {
		case "FREQ":
			days = map[string]float64{"DAILY": 1, "WEEKLY": 7, "MONTHLY": 30.44, "YEARLY": 365.24}[value]
		case "INTERVAL":
			var n int
			if _, err := fmt.Sscanf(value, "%d", &n); err == nil && n > 0 && n <= 1000 {
				interval = float64(n)
			}
		}
	}
	if days == 0 {
		return 0
	}
	return math.Min(math.Round(days*interval), 7305)
}
