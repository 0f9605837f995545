package web

import (
	"context"
	"net/http"
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/picture"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// usePages show use, and take what is written down of it.
type usePages struct{ *handler }

func (h usePages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+usePath, h.kept(h.use, nil))
	mux.HandleFunc("POST "+usePath+"/{form}", h.writeUse)
}

// usePage is what was drawn, what is to come, and the forms that write it down.
type usePage struct {
	Notice   *notice // what was just written down; nil for nothing
	Problems form.Problems
	Day      form.Form         // of every day
	Others   []titledForm      // the forms beside it
	End      *titledForm       // nil where no time away is open
	Machine  *form.Field       // to choose another by; nil where there is just one
	Show     *day.UseShow      // nil where nothing draws
	Weeks    []day.UsePeriod   // the latest first
	Shots    *picture.Picture  // week by week, and of the seven days to come; nil where there is no whole week
	Aways    []day.HistoryLine // that are not over
	Records  []day.HistoryLine // of use, the latest first
	Earlier  int               // how many records are not shown
}

// titledForm is a form that is folded away until it is wanted.
type titledForm struct {
	Name  string
	Title string
	form.Form
}

// Open reports whether the form is to be seen at once.
func (t titledForm) Open() bool { return len(t.Problems()) > 0 }

// counted says what of an entry counts. The days of it that a more trusted record
// speaks of do not.
func counted(s day.UseSource) string {
	return wording.Counted(figure.AtMost(s.Shots, 1), s.Days, s.NotCounted)
}

// mostUseRecords is how many records of use the page lists.
const mostUseRecords = 12

// useKinds are the kinds of record that are about use.
var useKinds = []record.Kind{record.KindUse, record.KindBag, record.KindMeterReading, record.KindGuests, record.KindAway, record.KindHotHours}

const usePath = "/use"

func (h usePages) use(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, err := h.usePage(r.Context(), opened, r.URL.Query().Get("machine"), "", nil)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if p.Notice, err = h.useNotice(r, opened); err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusOK, "use", page{Title: wording.Use, Here: usePath, Place: opened.Info(), Body: p})
}

// usePage returns the page about a machine, or the first one. Of the form with a
// name the form that was sent is shown, for correction.
func (h usePages) usePage(ctx context.Context, opened *day.Day, machine, sent string, as *form.Form) (usePage, error) {
	var p usePage
	asked := askUse(opened, machine)
	for _, f := range append(useForms[:len(useForms):len(useForms)], endForm) {
		if !f.offer(asked.spots) || f.name == endForm.name && len(asked.open) == 0 && sent != endForm.name {
			continue
		}
		t := titledForm{f.name, f.title, h.formOfUse(f, asked)}
		if f.name == sent {
			t.Form = *as
			p.Problems = as.Problems()
		}
		switch f.name {
		case useForms[0].name:
			p.Day = t.Form
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
	for _, f := range equipmentField("machine", wording.AnotherMachine, "", asked.spots.Machines, asked.machine) {
		p.Machine = &f
	}
	return p, h.fillUse(ctx, opened, &p, asked.machine)
}

// fillUse fills in what was and what is to come.
func (h usePages) fillUse(ctx context.Context, opened *day.Day, p *usePage, machine string) error {
	show, err := opened.ShowUse(day.UseQuery{Machine: machine})
	if err != nil {
		return err
	}
	p.Show, p.Weeks = &show, slices.Clone(show.Periods)
	slices.Reverse(p.Weeks)
	p.Shots = shotsPicture(show)
	lines, err := opened.History(ctx)
	if err != nil {
		return err
	}
	for _, a := range opened.Aways() {
		at := slices.IndexFunc(lines, func(l day.HistoryLine) bool { return l.Record == a.Record })
		if at >= 0 && (a.To.IsZero() || a.To >= opened.Today) {
			p.Aways = append(p.Aways, lines[at])
		}
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

// askUse finds out what the forms depend on.
func askUse(opened *day.Day, machine string) useAsked {
	a := useAsked{spots: opened.UseSpots(), machine: machine, today: opened.Today, place: opened.Place}
	if a.machine == "" && len(a.spots.Machines) > 0 {
		a.machine = a.spots.Machines[0].Equipment
	}
	for _, l := range opened.Aways() {
		if l.To.IsZero() {
			a.open = append(a.open, l)
		}
	}
	return a
}

func (h usePages) formOfUse(f useForm, asked useAsked) form.Form {
	s := form.Form{Action: usePath + "/" + f.name, Token: h.tokens.Draw(), Button: f.button, Fields: f.fields(asked)}
	s.TellFor(asked.place)
	return s
}

// useNotice tells what a form about use has just written down, and what of an
// entry counts.
func (h usePages) useNotice(r *http.Request, opened *day.Day) (*notice, error) {
	written, err := h.noticeOf(r, opened, useKinds...)
	if err != nil || written == nil || written.Line.Kind != record.KindUse {
		return written, err
	}
	show, err := opened.ShowUse(day.UseQuery{Machine: r.URL.Query().Get("machine"), From: written.Line.On, By: day.ByMonth})
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
func (h usePages) writeUse(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	ctx := r.Context()
	f, ok := useFormOf(r.PathValue("form"))
	if !ok {
		h.nothingHere(w, r)
		return
	}
	asked := askUse(opened, "")
	if !f.offer(asked.spots) {
		h.message(w, r, http.StatusUnprocessableEntity, wording.ThatCannotBeTaken, wording.NothingToWriteItDownOf)
		return
	}
	s := h.formOfUse(f, asked)
	s.Fill(filled)
	write := f.read(&s)
	taken, err := h.takeOnce(w, r, &s, filled, func() (int64, error) {
		w, err := write(ctx, h.Journal, opened)
		return w.Record, err
	}, usePath, "machine", s.Text("shots-machine"))
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if taken {
		return
	}
	p, err := h.usePage(ctx, opened, "", f.name, &s)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusUnprocessableEntity, "use", page{Title: wording.PleaseCorrectUse, Here: usePath, Place: opened.Info(), Body: p})
}
