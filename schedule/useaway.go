package schedule

import (
	"context"
	"fmt"

	"limekeep/schedule/record"
)

// AddAway writes down that nobody draws anything for a while, in the past or to
// come. A machine that is left empty stands for all of the place.
func (d *Desk) AddAway(ctx context.Context, m Moment, a record.Away) (Written, error) {
	m, err := d.stay(ctx, m, a.Machine, a.From)
	if err != nil {
		return Written{}, err
	}
	if a.From.IsZero() {
		a.From = m.Today
	}
	if err := a.Validate(); err != nil {
		return Written{}, err
	}
	return d.write(ctx, m, min(a.From, m.Today), a, awaySays(a))
}

// AddGuests writes down that more is drunk for a while, in the past or to come.
func (d *Desk) AddGuests(ctx context.Context, m Moment, g record.Guests) (Written, error) {
	m, err := d.stay(ctx, m, g.Machine, g.From)
	if err != nil {
		return Written{}, err
	}
	if g.From.IsZero() {
		g.From = m.Today
	}
	if g.To.IsZero() {
		g.To = g.From
	}
	if err := g.Validate(); err != nil {
		return Written{}, err
	}
	return d.write(ctx, m, min(g.From, m.Today), g, guestsSays(g))
}

// stay checks the machine and the first day of a period.
func (d *Desk) stay(ctx context.Context, m Moment, machine string, from record.Date) (Moment, error) {
	book, _, m, err := d.open(ctx, m)
	if err != nil || machine == "" {
		return m, err
	}
	e, err := pick(book, machine, "machine", func(e record.Equipment) bool { return e.Machine != nil })
	if err != nil || from.IsZero() {
		return m, err
	}
	return m, notBefore("from", from, e)
}

// EndAway writes down the last day of a period away that was left open: of the
// one with the record's number, or of the only one where it is 0.
func (d *Desk) EndAway(ctx context.Context, m Moment, id int64, last record.Date) (Written, error) {
	book, _, m, err := d.open(ctx, m)
	if err != nil {
		return Written{}, err
	}
	if last.IsZero() {
		last = m.Today
	}
	var open []record.Dated[record.Away]
	var known []string
	for _, a := range allAways(book) {
		if a.Body.To.IsZero() {
			known = append(known, fmt.Sprint(a.ID))
			if id == 0 || a.ID == id {
				open = append(open, a)
			}
		}
	}
	switch {
	case len(known) == 0:
		return Written{}, &record.FieldError{Field: "away", Want: "a last day only to a period that was left open; there is none"}
	case len(open) == 0:
		return Written{}, &record.UnknownError{What: "open period away", Name: fmt.Sprint(id), Known: known}
	case len(open) > 1:
		return Written{}, &record.FieldError{Field: "record", Want: fmt.Sprintf("one of %v, since more than one is open", known)}
	}
	ended := open[0].Body
	ended.To = last
	if err := ended.Validate(); err != nil {
		return Written{}, err
	}
	ids, err := d.Records.Append(ctx,
		d.entry(m, open[0].On, record.Void{Record: open[0].ID, Why: "ended on " + last.String()}),
		d.entry(m, open[0].On, ended))
	if err != nil {
		return Written{}, err
	}
	return Written{Record: ids[1], On: open[0].On, What: awaySays(ended)}, nil
}

// AwayLine is a period away as it is listed.
type AwayLine struct {
	Record int64       `json:"record"`
	From   record.Date `json:"from"`
	To     record.Date `json:"to,omitzero"` // left open where absent
	Says   string      `json:"says"`
}

// Aways lists the periods away that are known of, by the day they begin.
func (d *Desk) Aways(ctx context.Context, m Moment) ([]AwayLine, error) {
	book, _, _, err := d.open(ctx, m)
	if err != nil {
		return nil, err
	}
	lines := []AwayLine{}
	for _, a := range allAways(book) {
		lines = append(lines, AwayLine{Record: a.ID, From: a.Body.From, To: a.Body.To, Says: awaySays(a.Body)})
	}
	return lines, nil
}

// allAways gives the periods away of the place and of each machine, by the day
// they begin.
func allAways(book *record.Book) []record.Dated[record.Away] {
	var all []record.Dated[record.Away]
	for _, e := range book.Entries {
		if a, ok := e.Body.(record.Away); ok {
			all = append(all, record.Dated[record.Away]{ID: e.ID, On: e.Effective, Body: a})
		}
	}
	sortByFrom(all)
	return all
}

// useSays puts a record about use in a few words; empty for any other.
func useSays(body record.Body) string {
	switch b := body.(type) {
	case record.Away:
		return awaySays(b)
	case record.Guests:
		return guestsSays(b)
	case record.MeterReading:
		return meterSays(b)
	case record.Bag:
		return bagSays(b)
	}
	return ""
}

func awaySays(a record.Away) string {
	text := "away"
	if a.Machine != "" {
		text = a.Machine + " switched off"
	}
	text += " from " + a.From.String()
	if a.To.IsZero() {
		text += " until further notice"
	} else {
		text += " to " + a.To.String()
	}
	if a.Frost {
		text += ", frost possible"
	}
	return withNote(text, a.Note)
}

func guestsSays(g record.Guests) string {
	text := fmt.Sprintf("guests from %s to %s: %s shots a day more", g.From, g.To, number(g.Shots))
	if g.Machine != "" {
		text += " from " + g.Machine
	}
	return withNote(text, g.Note)
}
