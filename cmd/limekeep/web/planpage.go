package web

import (
	"net/http"
	"time"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// planPages show the plan.
type planPages struct{ *handler }

func (h planPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /plan", h.kept(h.plan, nil))
	mux.HandleFunc("POST /plan/{form}", h.write)
}

// planPage is the plan of the months to come.
type planPage struct {
	Plan   day.PlanInfo
	Months []planMonth
	Names  map[string]day.Due // of the tasks, by id

	Notice   *notice // what was just written down; nil for nothing
	Problems form.Problems
	Block    titledForm
	Stock    titledForm
	Blocked  []record.Dated[record.Blocked] // that are not over
	Counted  []day.StockInfo                // what is there of what is counted
}

// planMonth is the sittings of one month.
type planMonth struct {
	Name     string // March 2026
	ID       string // 2026-03
	Sittings []day.SittingInfo
	Weeks    []planWeek
}

// Entered returns the forms of the page.
func (p planPage) Entered() []titledForm { return []titledForm{p.Block, p.Stock} }

// Near reports whether a month is shown at once and not folded away: what lies more
// than a month or two ahead is not read in passing.
func (p planPage) Near(month int) bool { return month < 2 }

// mostUnmet is how much of what cannot be met is shown at once.
const mostUnmet = 5

// Folded reports whether what cannot be met is folded away, for the sittings to be
// seen.
func (p planPage) Folded() bool { return len(p.Plan.CannotMeet) > mostUnmet }

// Task returns a task that the plan speaks of.
func (p planPage) Task(id string) day.Due {
	due, ok := p.Names[id]
	if !ok {
		return day.Due{Task: id, Title: id}
	}
	return due
}

func (h planPages) plan(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := h.planPage(f, opened)
	if p.Notice, err = h.noticeOf(r, opened, record.KindBlocked, record.KindStock); err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusOK, "plan", page{Title: wording.Plan, Here: "/plan", Place: f.Day.Info(), Body: p})
}

// planPage gathers the plan, month by month.
func (h planPages) planPage(f *day.Forecast, opened *day.Day) planPage {
	p := planPage{Plan: f.Plan(), Names: map[string]day.Due{}, Block: h.blockForm(f.Day.Today), Stock: h.stockForm(f)}
	for _, due := range f.Due() {
		p.Names[due.Task] = due
	}
	for _, s := range f.Stock() {
		if s.Counted {
			p.Counted = append(p.Counted, s)
		}
	}
	for _, b := range opened.Book.Blocked() {
		if b.Body.To >= opened.Today {
			p.Blocked = append(p.Blocked, b)
		}
	}
	sittings := map[record.Date]string{}
	for _, s := range p.Plan.Sittings {
		start := s.Start.In(f.Day.Zone)
		if on := record.DateOf(start); sittings[on] == "" {
			sittings[on] = sittingID(s)
		}
		if id := start.Format("2006-01"); len(p.Months) == 0 || p.Months[len(p.Months)-1].ID != id {
			p.Months = append(p.Months, planMonth{Name: start.Format("January 2006"), ID: id})
		}
		last := &p.Months[len(p.Months)-1]
		last.Sittings = append(last.Sittings, s)
	}
	for i := range p.Months {
		on := record.DateOf(p.Months[i].Sittings[0].Start.In(f.Day.Zone))
		first := on - record.Date(on.In(time.UTC).Day()-1)
		p.Months[i].Weeks = weeksOf(first, sittings, p.Plan, p.Blocked)
	}
	return p
}
