package care

import (
	"fmt"
	"slices"

	"limekeep/schedule/record"
)

// Past is what is known of a duty's part from before its records begin. The zero
// Past is one of which all is written down.
type Past struct {
	Unknown bool        // up to Until it may have been cared for, or not, though nothing says so
	From    record.Date // first day on which it can have been made fresh; zero where nobody knows its age
	Until   record.Date // from here on all that is done is written down
	Cared   bool        // whoever had it cared for it up to then
	Looked  record.Look // how it looked on that day; empty where nobody looked
	Whole   bool        // what looked so was the equipment as a whole
}

// setPast says what is known of a duty's past: first of its equipment as a whole,
// then what its owner says of the part or of the task itself.
func (d *Duty) setPast(e record.Equipment) {
	until := max(e.RecordsFrom, e.Bought)
	stage := d.Cartridge()
	switch {
	case d.Task.ID == FirstLook: // it is asked for on the first day of the records
		d.Fitted, d.Since = until-1, until-1
		return
	case !slices.ContainsFunc(d.Gauges, func(g BoundGauge) bool { return g.Driver.Kind() != Checked }):
		return // it shows by what is measured alone
	case !e.LookedAfter.IsZero() && e.LookedAfter >= d.Fitted && d.yearly(): // it was looked after up to a day that is known
		if until > d.Since {
			d.Past = Past{Unknown: true, From: d.Since, Until: until}
		}
	case stage != nil && !stage.Fitted.IsZero(): // so is the day it was fitted
	case e.CameUsed():
		d.Past = Past{Unknown: true, From: e.Origin(), Until: until}
	case until > d.Since:
		d.Past = Past{Unknown: true, From: d.Fitted, Until: until}
	}
	for _, whole := range []bool{true, false} {
		for _, p := range e.Past {
			if whole == (p.Of == "") && (whole || d.Called(p.Of)) {
				d.statePast(p, until)
			}
		}
	}
	if d.Past.Unknown && d.Past.From == d.Past.Until {
		d.Past = Past{}
	}
	if d.Past.Unknown && e.CameUsed() { // what was done before it came counts where it is written down
		d.Fitted = min(d.Fitted, e.FirstDay())
	}
}

// FirstLook is the id of the catalogue's task that takes stock of a machine whose
// past nobody knows. It is done once.
const FirstLook = "first-look"

// takeStockDays is how many days nobody need have written down before a machine is
// looked over as a whole. Assumption.
const takeStockDays = 90

// pastUnknown reports whether so little is known of a machine's past that it is to be
// looked over.
func pastUnknown(e record.Equipment) bool {
	until := max(e.RecordsFrom, e.Bought)
	known := max(e.LookedAfter, e.Origin())
	for _, p := range e.Past {
		if p.Of == "" && p.State != record.PastUnknown {
			known = max(known, p.On)
		}
	}
	return until-known > takeStockDays
}

// statePast takes what an owner says of the past.
func (d *Duty) statePast(p record.Past, until record.Date) {
	whole := p.Of == ""
	switch p.State {
	case record.WasNew:
		if whole {
			d.Fitted, d.Since = p.On, p.On
			d.Past = Past{Unknown: until > p.On, From: p.On, Until: until}
			break
		}
		d.Fitted, d.Since, d.Past = p.On, p.On, Past{}
	case record.CaredFor:
		switch {
		case whole && d.yearly():
			d.Since = max(d.Since, p.On)
			d.Past = Past{Unknown: until > d.Since, From: d.Since, Until: until}
		case d.yearly() || p.Of == d.Task.ID || d.ID == p.Of:
			d.Since, d.Past = max(d.Since, p.On), Past{}
		case d.Past.Unknown:
			d.Past.Until, d.Past.Cared = p.On, true
		}
	case record.PastUnknown:
		d.Past = Past{Unknown: true, From: d.Past.From, Until: until}
	}
	if p.Looked != "" && d.Past.Unknown && (d.Task.Findings == FindsPart || d.Task.Findings == FindsScale) {
		d.Past.Looked, d.Past.Whole = p.Looked, whole
	}
}

// CheckPasts checks what owners say of parts: that each is about something the
// equipment has. It returns all that is wrong.
func (c *Catalogue) CheckPasts(equipment []record.Equipment) error {
	duties := c.Duties(equipment)
	var wrong []error
	for _, e := range equipment {
		for i, p := range e.Past {
			err := checkPast(p, e, duties)
			wrong = append(wrong, record.EachMistake(err, func(m record.FieldError) record.FieldError {
				m.Field = fmt.Sprintf("%s.past[%d].%s", e.ID, i, m.Field)
				return m
			}))
		}
	}
	return record.AllOf(wrong...)
}

func checkPast(p record.Past, e record.Equipment, duties []Duty) error {
	if p.Of == "" {
		return nil
	}
	var known []string
	for _, d := range duties {
		if d.Equipment.ID != e.ID {
			continue
		}
		if d.Called(p.Of) {
			return nil
		}
		for _, name := range []string{d.Part, d.Task.ID} {
			if name != "" && !slices.Contains(known, name) {
				known = append(known, name)
			}
		}
	}
	slices.Sort(known)
	return record.NotKnown("of", &record.UnknownError{What: "part or task", Name: p.Of, Known: known})
}
