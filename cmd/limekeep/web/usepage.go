package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// usePage is what was drawn, what is to come, and the forms that write it down.
type usePage struct {
	Written  *notice // what was just written down; nil for nothing
	Problems problems
	Day      sheet                  // of every day
	Others   []titledSheet          // the forms beside it
	End      *titledSheet           // nil where no time away is open
	Machines []choice               // to choose from; none where there is just one
	Show     *schedule.UseShow      // nil where nothing draws
	Weeks    []schedule.UsePeriod   // the latest first
	Aways    []schedule.AwayLine    // that are not over
	Records  []schedule.HistoryLine // of use, the latest first
	Earlier  int                    // how many records are not shown
}

// titledSheet is a form that is folded away until it is wanted.
type titledSheet struct {
	Name  string
	Title string
	sheet
}

// Open tells whether the form is to be seen at once.
func (t titledSheet) Open() bool { return len(t.Problems) > 0 }

// errToCorrect says that a form holds what cannot be read, so that nothing was
// written.
var errToCorrect = errors.New("the form holds what cannot be read")

// counted says what of an entry counts. The days of it that a more trusted record
// speaks of do not.
func counted(s schedule.UseSource) string {
	text := fmt.Sprintf("%s shots on %s count", figure(1, s.Shots), inDays(s.Days))
	if s.NotCounted > 0 {
		text += fmt.Sprintf("; %s of it %s not, since a more trusted record has %s", inDays(s.NotCounted), either(s.NotCounted, "does", "do"), either(s.NotCounted, "it", "them"))
	}
	return text + "."
}

func inDays(n int) string { return fmt.Sprintf("%d %s", n, either(n, "day", "days")) }

// either chooses the word for one or for several.
func either(n int, one, several string) string {
	if n == 1 {
		return one
	}
	return several
}

// mostUseRecords is how many records of use the page lists.
const mostUseRecords = 12

// useKinds are the kinds of record that are about use.
var useKinds = []record.Kind{record.KindUse, record.KindBag, record.KindMeterReading, record.KindGuests, record.KindAway}

const usePath = "/use"

func (d *door) use(w http.ResponseWriter, r *http.Request) {
	info, moment, err := d.at(r.Context())
	if err != nil {
		d.fail(w, r, err)
		return
	}
	p, err := d.usePage(r.Context(), moment, r.URL.Query().Get("machine"), "", nil)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	if p.Written, err = d.writtenUse(r, moment); err != nil {
		d.fail(w, r, err)
		return
	}
	keepForm(w)
	d.show(w, r, http.StatusOK, "use", page{Title: "Use", Here: usePath, Place: info, Body: p})
}

// usePage gives the page about a machine, or the first one. Of the form with a
// name the sheet that was sent is shown, for correction.
func (d *door) usePage(ctx context.Context, m schedule.Moment, machine, sent string, as *sheet) (usePage, error) {
	var p usePage
	asked, err := d.useAsked(ctx, m, machine)
	if err != nil {
		return p, err
	}
	for _, f := range append(useForms[:len(useForms):len(useForms)], endForm) {
		if !f.offer(asked.spots) || f.name == endForm.name && len(asked.open) == 0 && sent != endForm.name {
			continue
		}
		t := titledSheet{f.name, f.title, d.useSheet(f, asked)}
		if f.name == sent {
			t.sheet = *as
			p.Problems = as.Problems
		}
		switch f.name {
		case useForms[0].name:
			p.Day = t.sheet
		case endForm.name:
			p.End = &t
		default:
			t.Quiet = true
			p.Others = append(p.Others, t)
		}
	}
	if asked.machine == "" {
		return p, nil
	}
	if len(asked.spots.Machines) > 1 {
		for _, e := range asked.spots.Machines {
			p.Machines = append(p.Machines, choice{Value: e.Equipment, Label: e.Name, Selected: e.Equipment == asked.machine})
		}
	}
	return p, d.fillUse(ctx, m, &p, asked.machine)
}

// fillUse fills in what was and what is to come.
func (d *door) fillUse(ctx context.Context, m schedule.Moment, p *usePage, machine string) error {
	show, err := d.Desk.ShowUse(ctx, m, schedule.UseQuestion{Machine: machine})
	if err != nil {
		return err
	}
	p.Show, p.Weeks = &show, slices.Clone(show.Periods)
	slices.Reverse(p.Weeks)
	aways, err := d.Desk.Aways(ctx, m)
	if err != nil {
		return err
	}
	for _, a := range aways {
		if a.To.IsZero() || a.To >= m.Today {
			p.Aways = append(p.Aways, a)
		}
	}
	lines, err := d.Desk.History(ctx, m)
	if err != nil {
		return err
	}
	for _, l := range slices.Backward(lines) {
		switch {
		case l.Voided != 0 || !slices.Contains(useKinds, l.Kind):
		case len(p.Records) < mostUseRecords:
			p.Records = append(p.Records, l)
		default:
			p.Earlier++
		}
	}
	return nil
}

// useAsked finds out what the forms depend on.
func (d *door) useAsked(ctx context.Context, m schedule.Moment, machine string) (useAsked, error) {
	a := useAsked{machine: machine, today: m.Today}
	var err error
	if a.spots, err = d.Desk.UseSpots(ctx, m); err != nil {
		return a, err
	}
	if a.machine == "" && len(a.spots.Machines) > 0 {
		a.machine = a.spots.Machines[0].Equipment
	}
	aways, err := d.Desk.Aways(ctx, m)
	for _, l := range aways {
		if l.To.IsZero() {
			a.open = append(a.open, l)
		}
	}
	return a, err
}

func (d *door) useSheet(f useForm, asked useAsked) sheet {
	return sheet{Action: usePath + "/" + f.name, Ticket: d.taken.draw(), Button: f.button, Fields: f.fields(asked), Problems: problems{}}
}

// writtenUse tells what a form about use has just written down, and what of an
// entry counts.
func (d *door) writtenUse(r *http.Request, m schedule.Moment) (*notice, error) {
	written, err := d.written(r, m, useKinds...)
	if err != nil || written == nil || written.Line.Kind != record.KindUse {
		return written, err
	}
	show, err := d.Desk.ShowUse(r.Context(), m, schedule.UseQuestion{Machine: r.URL.Query().Get("machine"), From: written.Line.On, By: schedule.ByMonth})
	if blamable(err) {
		return written, nil // an address that was put together by hand
	}
	for _, s := range show.Sources {
		if s.Record == written.Line.Record {
			written.Says = append(written.Says, counted(s))
		}
	}
	return written, err
}

// writeUse takes the forms of the page.
func (d *door) writeUse(w http.ResponseWriter, r *http.Request) {
	filled, info, moment, ok := d.sent(w, r)
	if !ok {
		return
	}
	ctx := r.Context()
	f, ok := useFormOf(r.PathValue("form"))
	if !ok {
		d.nothingHere(w, r)
		return
	}
	asked, err := d.useAsked(ctx, moment, "")
	if err != nil {
		d.fail(w, r, err)
		return
	}
	if !f.offer(asked.spots) {
		d.message(w, r, http.StatusUnprocessableEntity, "That cannot be taken", "There is nothing at this place that it could be written down of.")
		return
	}
	s := d.useSheet(f, asked)
	s.fill(filled)
	written, err := d.taken.once(ticketOf(filled), func() (int64, error) {
		w, err := f.write(ctx, d.Desk, moment, &s)
		if err == nil && len(s.Problems) > 0 {
			err = errToCorrect
		}
		return w.Record, err
	})
	switch {
	case err == nil:
		seeOther(w, r, usePath, written, "machine", s.text("shots-machine"))
		return
	case err != errToCorrect && !blamable(err):
		d.fail(w, r, err)
		return
	case err != errToCorrect:
		s.blame(err)
	}
	p, err := d.usePage(ctx, moment, "", f.name, &s)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	keepForm(w)
	d.show(w, r, http.StatusUnprocessableEntity, "use", page{Title: "Please correct: use", Here: usePath, Place: info, Body: p})
}
