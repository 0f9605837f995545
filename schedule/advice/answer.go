package advice

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
)

// Answer is what follows from one record: what it means, when what was done comes
// round again, what was learnt, and which dates it moved.
type Answer struct {
	Record int64         `json:"record"`
	Water  *WaterMeaning `json:"water,omitempty"` // of a water test
	Next   *NextDate     `json:"next,omitempty"`  // of what was done or measured
	Learnt []string      `json:"learnt"`
	Moved  []MovedDate   `json:"moved"`   // that moved by more than a day or two, the furthest first
	Stayed int           `json:"stayed"`  // dates that it left where they were
	Others int           `json:"further"` // dates that moved as well and are not listed
}

// NextDate is when something comes round again.
type NextDate struct {
	Task   string       `json:"task"`
	Title  string       `json:"title"`
	Early  *record.Date `json:"early"`
	Likely *record.Date `json:"likely"`
	Late   *record.Date `json:"late"`
	Says   string       `json:"says"`
}

// MovedDate is a task whose likely date a record moved. A date is null where it lies
// beyond the horizon, or where the task could not fall due at all.
type MovedDate struct {
	Task  string       `json:"task"`
	Title string       `json:"title"`
	Name  string       `json:"equipment_name"`
	From  *record.Date `json:"from"`
	To    *record.Date `json:"to"`
	Says  string       `json:"says"`
}

// mostMoved is how many moved dates an answer lists.
const mostMoved = 8

// AnswerTo says what follows from a record of the forecast's day: the forecast is
// compared with one of the same day without the record. A record that the day does
// not have is an error that matches record.ErrUnknown.
func AnswerTo(ctx context.Context, after *day.Forecast, id int64) (Answer, error) {
	a := Answer{Record: id, Learnt: []string{}, Moved: []MovedDate{}}
	entry, ok := after.Day.Entry(id)
	if !ok {
		return a, &record.UnknownError{What: "record", Name: fmt.Sprint(id)}
	}
	before, err := after.Day.OutcomesWithout(ctx, id)
	if err != nil {
		return a, err
	}
	own := ""
	switch body := entry.Body.(type) {
	case record.WaterTest:
		meaning, err := MeaningIn(after, body)
		if err != nil {
			return a, err
		}
		a.Water = &meaning
	case record.Service:
		own = body.Task
		a.service(after, body)
	case record.Measurement:
		own = measuredTask(after, body)
	}
	if own != "" {
		if due, err := after.DueOf(own); err == nil {
			a.Next = nextOf(due)
		}
	}
	a.compare(after, before, own)
	return a, nil
}

// service says what a finding taught, and what it could teach the next time.
func (a *Answer) service(after *day.Forecast, s record.Service) {
	a.Learnt = append(a.Learnt, LearntFrom(after, s)...)
}

// LearntFrom says what a service's finding taught the forecast that knows of it, or
// what it could teach the next time; nothing for a task that records no findings.
func LearntFrom(after *day.Forecast, s record.Service) []string {
	x, err := after.Outcome(s.Task)
	if err != nil {
		return nil
	}
	told := s.Finding != "" || s.Grams > 0
	if x.Learned != nil && told {
		return []string{say.Taught(x)}
	}
	if words := day.FindingsOf(x.Duty.Task); len(words) > 0 && !told {
		return []string{fmt.Sprintf("Nothing is learnt, since nobody said what was found. Next time say one of %s: it makes the dates after it better.", strings.Join(words, ", "))}
	}
	return nil
}

// measuredTask returns the task that a condition check was done for.
func measuredTask(f *day.Forecast, m record.Measurement) string {
	for _, x := range f.Outcomes() {
		if string(x.Duty.Task.Records) == string(m.Kind) && x.Duty.Equipment.ID == m.Equipment && (x.Duty.Part == m.Part || x.Duty.Part == "" || m.Part == "") {
			return x.Duty.ID
		}
	}
	return ""
}

func nextOf(d day.Due) *NextDate {
	n := &NextDate{Task: d.Task, Title: d.Title, Early: d.Early, Likely: d.Likely, Late: d.Late}
	switch {
	case d.Rests != "":
		n.Says = d.Title + " comes round no more: " + d.Rests + "."
	case d.Likely == nil:
		n.Says = fmt.Sprintf("%s next comes beyond the %d years that can be foreseen.", d.Title, wear.HorizonYears)
	default:
		n.Says = fmt.Sprintf("%s is next due about %s", d.Title, d.Likely.Long())
		if d.Early != nil && d.Late != nil && *d.Early != *d.Late {
			n.Says += fmt.Sprintf(" (one chance in ten before %s, one after %s)", d.Early.Long(), d.Late.Long())
		}
		n.Says += "."
	}
	return n
}

// compare lists the likely dates that differ between two forecasts of a day; own is
// the task that is told of already.
func (a *Answer) compare(after *day.Forecast, before []wear.Outcome, own string) {
	horizon := after.Day.Today.AddMonths(12 * wear.HorizonYears)
	at := func(d record.Date) record.Date {
		if d.IsZero() {
			return horizon
		}
		return d
	}
	was := map[string]record.Date{}
	for _, x := range before {
		was[x.Duty.ID] = x.Window.Likely
	}
	type moved struct {
		MovedDate
		days record.Date
	}
	var all []moved
	for _, x := range after.Outcomes() {
		from, known := was[x.Duty.ID]
		if x.Duty.ID == own || !known {
			continue
		}
		days := at(x.Window.Likely) - at(from)
		// What moved by less than a twentieth of the time until then shows nothing but
		// how finely the worlds are drawn.
		if far := max(at(from)-after.Day.Today, 0); max(days, -days) <= max(2, far/20) {
			a.Stayed++
			continue
		}
		m := MovedDate{Task: x.Duty.ID, Title: x.Duty.Title, Name: x.Duty.Equipment.Title(), From: day.DateOrNil(from), To: day.DateOrNil(x.Window.Likely)}
		m.Says = fmt.Sprintf("%s: from %s to %s.", say.OfTask(m.Title, m.Name), longOrBeyond(m.From), longOrBeyond(m.To))
		all = append(all, moved{m, max(days, -days)})
	}
	slices.SortStableFunc(all, func(x, y moved) int {
		return cmp.Or(cmp.Compare(y.days, x.days), cmp.Compare(x.Task, y.Task))
	})
	for i, m := range all {
		if i == mostMoved {
			a.Others = len(all) - mostMoved
			break
		}
		a.Moved = append(a.Moved, m.MovedDate)
	}
}

func longOrBeyond(d *record.Date) string {
	if d == nil {
		return fmt.Sprintf("beyond %d years", wear.HorizonYears)
	}
	return d.Long()
}
