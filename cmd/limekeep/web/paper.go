package web

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// paperPages are made to be printed: a sitting, the plan of a year, a service report,
// labels. They stand on A4 and on letter alike.
type paperPages struct{ *handler }

func (h paperPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /print/sitting", h.sitting)
	mux.HandleFunc("GET /print/plan", h.year)
	mux.HandleFunc("GET /print/report/{id}", h.report)
	mux.HandleFunc("GET /labels", h.labels)
	mux.HandleFunc("GET /record", h.record)
	mux.HandleFunc("GET /record/{id}", h.record)
}

// sittingSheet is a sitting on paper.
type sittingSheet struct {
	day.SittingInfo
	Sheets []taskSheet
}

// taskSheet is one of its tasks.
type taskSheet struct {
	day.TaskInfo
	Name string // of the equipment
}

func (h paperPages) sitting(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	sittings := f.Plan().Sittings
	at := 0
	if asked := r.URL.Query().Get("at"); asked != "" {
		start, err := time.Parse(time.RFC3339, asked)
		at = slices.IndexFunc(sittings, func(s day.SittingInfo) bool { return err == nil && s.Start.Equal(start) })
	}
	if at < 0 || at >= len(sittings) {
		h.message(w, r, http.StatusNotFound, wording.NoSuchSitting, wording.NoSittingThen)
		return
	}
	p := sittingSheet{SittingInfo: sittings[at]}
	all := f.Day.Tasks()
	for _, turn := range p.Turns {
		if i := slices.IndexFunc(all, func(t day.TaskInfo) bool { return t.Task == turn.Task }); i >= 0 {
			p.Sheets = append(p.Sheets, taskSheet{all[i], nameOf(f.Day, all[i].Equipment)})
		}
	}
	h.show(w, r, http.StatusOK, "papersitting", page{Title: wording.Sitting, Here: "/plan", Place: f.Day.Info(), Body: p})
}

func nameOf(d *day.Day, equipment string) string {
	e, err := d.Book.Find(equipment)
	if err != nil {
		return equipment
	}
	return e.Title()
}

// yearSheet is the plan of twelve months on paper.
type yearSheet struct {
	Until  record.Date
	Months []yearMonth
	Rounds []day.RoundInfo
}

// yearMonth is what one month brings.
type yearMonth struct {
	First record.Date
	Rows  []yearRow
}

// yearRow is a sitting or a visit; the other is nil.
type yearRow struct {
	On      record.Date
	Sitting *day.SittingInfo
	Visit   *day.VisitInfo
}

func (h paperPages) year(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	plan, today := f.Plan(), f.Day.Today
	p := yearSheet{Until: today.AddMonths(12), Rounds: plan.Rounds}
	first := today.AddMonths(-1).MonthEnd() + 1
	for ; first < p.Until; first = first.MonthEnd() + 1 {
		m := yearMonth{First: first}
		for _, s := range plan.Sittings {
			if on := record.DateOf(s.Start.In(f.Day.Zone)); on >= first && on <= first.MonthEnd() {
				m.Rows = append(m.Rows, yearRow{On: on, Sitting: &s})
			}
		}
		for _, v := range plan.Visits {
			if v.On >= first && v.On <= first.MonthEnd() {
				m.Rows = append(m.Rows, yearRow{On: v.On, Visit: &v})
			}
		}
		slices.SortStableFunc(m.Rows, func(a, b yearRow) int { return cmp.Compare(a.On, b.On) })
		p.Months = append(p.Months, m)
	}
	h.show(w, r, http.StatusOK, "paperplan", page{Title: wording.ThePlanOfAYear, Here: "/plan", Place: f.Day.Info(), Body: p})
}

// reportSheet is a service report for whom the machine belongs to.
type reportSheet struct {
	advice.ServiceReport
	Form form.Form // to choose the day from which it reports
	Soon bool      // the dates before are being worked out
}

func (h paperPages) report(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	id := r.PathValue("id")
	if _, err := f.Day.Book.Find(id); err != nil {
		h.fail(w, r, err)
		return
	}
	s := form.Form{Action: "/print/report/" + id, Fields: []form.Field{{Name: "from", Label: wording.WorkSince, Kind: form.DateInput}}}
	s.Fill(r.URL.Query())
	from := lastBesidesRoutine(f, id)
	if asked, err := record.ParseDate(s.Text("from")); err == nil && asked <= f.Day.Today {
		from = asked
	}
	s.Find("from").Value = from.String()
	before, ready, err := h.beforehand(r, f, from-1)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	report, err := advice.ReportOf(before, f, id, from)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.show(w, r, http.StatusOK, "paperreport", page{Title: wording.ServiceReport(report.Name), Here: "/equipment", Place: f.Day.Info(), Body: reportSheet{report, s, !ready}})
}

// lastBesidesRoutine is the day of the last work on a piece of equipment that is more
// than routine; today where there was none.
func lastBesidesRoutine(f *day.Forecast, equipment string) record.Date {
	var last record.Date
	for _, due := range f.Due() {
		if due.Equipment == equipment && !due.Routine && due.LastService != nil {
			last = max(last, *due.LastService)
		}
	}
	if last.IsZero() {
		return f.Day.Today
	}
	return last
}

// earlierKey is what the forecast of an earlier day hangs on.
type earlierKey struct {
	version int64
	on      record.Date
}

// beforehand returns what was to be expected on a day of the past, and whether that is
// worked out; nil where nothing was set up by then, so that nothing was to be expected.
func (h paperPages) beforehand(r *http.Request, now *day.Forecast, on record.Date) (*day.Forecast, bool, error) {
	m := h.moment()
	m.Today = on
	f, ready, err := h.earlier.ask(r.Context(), earlierKey{now.Day.Version(), on}, h.patience(), func(ctx context.Context) (*day.Forecast, error) {
		opened, err := h.Days.Open(ctx, m)
		if errors.Is(err, record.ErrUnknown) || errors.Is(err, schedule.ErrNoPlace) {
			return nil, nil //nolint:nilnil // there was no place yet
		}
		if err != nil {
			return nil, err
		}
		return opened.Forecast(ctx)
	})
	return f, ready, err
}

// labelSheet is labels to cut out and stick on.
type labelSheet struct {
	Labels []label
	Local  bool // the address reaches this computer alone
	Base   string
}

// label is one of them, with the code that leads to its page.
type label struct {
	Of   string // name of the equipment
	What string
	Code QRCode
	Page string
}

func (h paperPages) labels(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := labelSheet{Base: h.pagesBase(r)}
	p.Local = strings.Contains(p.Base, "//127.") || strings.Contains(p.Base, "//localhost") || strings.Contains(p.Base, "//[::1]")
	for _, e := range opened.Book.Equipment() {
		page := "/record/" + e.ID
		code, err := NewQRCode(p.Base + page)
		if err != nil {
			h.fail(w, r, err)
			return
		}
		p.Labels = append(p.Labels, label{Of: e.Title(), What: equipmentWord(e), Code: code, Page: page})
	}
	h.show(w, r, http.StatusOK, "labels", page{Title: wording.Labels, Here: "/equipment", Place: opened.Info(), Body: p})
}

// equipmentWord says what a piece of equipment is.
func equipmentWord(e record.Equipment) string {
	switch {
	case e.Machine != nil:
		return wording.AMachine
	case e.Grinder != nil:
		return wording.AGrinderPart
	case e.Line != nil:
		return wording.AWaterLinePart
	}
	return wording.SomeTools
}
