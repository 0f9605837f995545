package journal

import (
	"context"
	"fmt"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// AddAway writes down that nobody draws anything for a while, in the past or to
// come. A machine that is left empty stands for all of the place.
func (j *Journal) AddAway(ctx context.Context, d *day.Day, a record.Away) (Receipt, error) {
	if err := checkStay(d, a.Machine, a.From); err != nil {
		return Receipt{}, err
	}
	if a.From.IsZero() {
		a.From = d.Today
	}
	if err := a.Validate(); err != nil {
		return Receipt{}, err
	}
	return j.write(ctx, d, min(a.From, d.Today), a, say.Away(a))
}

// AddGuests writes down that more is drunk for a while, in the past or to come.
func (j *Journal) AddGuests(ctx context.Context, d *day.Day, g record.Guests) (Receipt, error) {
	if err := checkStay(d, g.Machine, g.From); err != nil {
		return Receipt{}, err
	}
	if g.From.IsZero() {
		g.From = d.Today
	}
	if g.To.IsZero() {
		g.To = g.From
	}
	if err := g.Validate(); err != nil {
		return Receipt{}, err
	}
	return j.write(ctx, d, min(g.From, d.Today), g, say.Guests(g))
}

// checkStay checks the machine and the first day of a period.
func checkStay(d *day.Day, machine string, from record.Date) error {
	if machine == "" {
		return nil
	}
	e, err := day.Pick(d.Book, machine, "machine", func(e record.Equipment) bool { return e.Machine != nil })
	if err != nil || from.IsZero() {
		return err
	}
	return day.NotBefore("from", from, e)
}

// EndAway writes down the last day of a period away that was left open: of the
// one with the record's number, or of the only one where it is 0.
func (j *Journal) EndAway(ctx context.Context, d *day.Day, id int64, last record.Date) (Receipt, error) {
	if last.IsZero() {
		last = d.Today
	}
	var open []record.Dated[record.Away]
	var known []string
	for _, a := range day.AllAways(d.Book) {
		if a.Body.To.IsZero() {
			known = append(known, fmt.Sprint(a.ID))
			if id == 0 || a.ID == id {
				open = append(open, a)
			}
		}
	}
	switch {
	case len(known) == 0:
		return Receipt{}, &record.FieldError{Field: "away", Want: "a last day only to a period that was left open; there is none"}
	case len(open) == 0:
		return Receipt{}, &record.UnknownError{What: "open period away", Name: fmt.Sprint(id), Known: known}
	case len(open) > 1:
		return Receipt{}, &record.FieldError{Field: "record", Want: "one of " + record.OneOf("", known) + ", since more than one is open"}
	}
	ended := open[0].Body
	ended.To = last
	if err := ended.Validate(); err != nil {
		return Receipt{}, err
	}
	ids, err := j.Days.Records.Append(ctx,
		j.entry(d.Place.ID, open[0].On, record.Void{Record: open[0].ID, Why: "ended on " + last.String()}),
		j.entry(d.Place.ID, open[0].On, ended))
	if err != nil {
		return Receipt{}, err
	}
	return Receipt{Record: ids[1], On: open[0].On, What: say.Away(ended)}, nil
}
