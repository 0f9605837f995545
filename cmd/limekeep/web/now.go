package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/picture"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// nowPages tell what is to be done now, and take the routine.
type nowPages struct{ *handler }

func (h nowPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /{$}", h.kept(h.now, h.goesOn))
	mux.HandleFunc("POST /routine", h.tickRoutine)
	mux.HandleFunc("GET /api/due", h.dueJSON)
	mux.HandleFunc("GET /api/answer/{record}", h.answerJSON)
}

// nowPage is what somebody at the machine wants to know, the weightiest first.
type nowPage struct {
	Notice  *notice // what was just written down; nil for nothing
	Also    []day.HistoryLine
	Alarms  []day.Alarm      // that the next sitting does not put right
	Safety  int              // of the next sitting's tasks, how many are past and somebody's safety hangs on them
	Going   *goingSitting    // nil where no sitting was begun
	Next    *day.SittingInfo // nil where none is planned
	Rounds  []routineLine    // of today, each to be ticked
	Other   []routineLine    // of other days
	Dials   []dial           // that stand highest
	Visits  []day.VisitInfo  // to call for within the month
	Booked  []day.BookedInfo // that somebody comes for within the month, or that were missed
	Past    []day.Due        // past, and without a day in the plan
	Months  []monthOfDues    // all else, by the day it is planned for or else likely
	Beyond  []day.Due        // further off than can be foreseen
	CatchUp *day.CatchUpInfo

	Drawings []picture.Picture // of the machines, part by part

	Staff    bool // it is for staff: the routine and nothing else
	CanBegin bool // sittings that are begun are kept
}

// goingSitting is a sitting that was begun and goes on.
type goingSitting struct {
	ID        string
	Begun     time.Time
	Done, All int
	Next      string // what is to be done now; empty where all that is left is to wait
}

// routineLine is a round of the routine with its form.
type routineLine struct {
	day.RoundToday
	Token string
}

// Whole reports whether nothing of the round was done yet.
func (l routineLine) Whole() bool { return len(l.Done) == 0 }

// roundTask is an open task of a round as it stands in its line: what the task before it
// says already is left to those who do not see it, and the equipment stands beside a
// title that comes twice.
type roundTask struct {
	Task, Unseen, Title, Of string
}

// Tasks are the open tasks of a round as its line shows them.
func (l routineLine) Tasks() []roundTask {
	times := map[string]int{}
	for _, d := range l.Open {
		times[d.Title]++
	}
	var all []roundTask
	before := ""
	for _, d := range l.Open {
		shown := roundTask{Task: d.Task, Title: d.Title}
		work := ""
		if at := strings.LastIndex(d.Title, ", "); at > 0 {
			if work = d.Title[:at+2]; work == before {
				shown.Unseen, shown.Title = work, d.Title[at+2:]
			}
		}
		before = work
		if times[d.Title] > 1 {
			shown.Of = d.Name
		}
		all = append(all, shown)
	}
	return all
}

// dial is a gauge as a picture that leads to its task.
type dial struct {
	day.Stand
	Picture picture.Picture
}

// monthOfDues is what comes in a month.
type monthOfDues struct {
	First record.Date // of the month
	Dues  []dueLine
}

// dueLine is a task in a month, with the day that it is planned for or else likely.
type dueLine struct {
	day.Due
	On record.Date
}

// Begins reports whether the next sitting can be begun from here.
func (p nowPage) Begins() bool { return p.CanBegin && p.Going == nil }

// Start names the next sitting.
func (p nowPage) Start() string { return p.Next.Start.Format(time.RFC3339) }

// FewAlarms and MoreAlarms part what is told at once from what is folded away.
func (p nowPage) FewAlarms() []day.Alarm  { return p.Alarms[:min(len(p.Alarms), mostAlarms)] }
func (p nowPage) MoreAlarms() []day.Alarm { return p.Alarms[min(len(p.Alarms), mostAlarms):] }

// FewTurns and MoreTurns do so with what is done in the next sitting.
func (p nowPage) FewTurns() []day.TurnInfo  { return p.Next.Turns[:min(len(p.Next.Turns), mostTurns)] }
func (p nowPage) MoreTurns() []day.TurnInfo { return p.Next.Turns[min(len(p.Next.Turns), mostTurns):] }

const (
	mostDials  = 3
	mostAlarms = 3
	mostTurns  = 4
	callAhead  = 31 // days within which a call is shown
)

func (h nowPages) now(w http.ResponseWriter, r *http.Request) {
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
	p := h.nowPage(f, opened)
	p.Staff = role(r.Context()) == roles.Staff
	if p.Drawings, err = machineDrawings(f); err != nil {
		h.fail(w, r, err)
		return
	}
	if p.Going, err = h.going(r, opened); err != nil {
		h.fail(w, r, err)
		return
	}
	if p.Notice, err = h.noticeOf(r, f.Day, record.KindService, record.KindWaterTest); err != nil {
		h.fail(w, r, err)
		return
	}
	if err := h.answerIn(r, f, p.Notice); err != nil {
		h.fail(w, r, err)
		return
	}
	if p.Notice != nil && r.URL.Query().Get("round") != "" {
		if p.Also, err = writtenWith(r, f.Day, *p.Notice.Line); err != nil {
			h.fail(w, r, err)
			return
		}
	}
	h.showForm(w, r, http.StatusOK, "now", page{Title: wording.Now, Here: "/", Place: f.Day.Info(), Body: p})
}

// goesOn reports whether a sitting goes on, which the page tells of as it stands.
func (h nowPages) goesOn(r *http.Request) (bool, error) {
	s, err := h.underWay(r.Context(), h.publisher.now.Load().agenda.Place)
	return s != nil, err
}

// going tells of the sitting that goes on; nil for none.
func (h nowPages) going(r *http.Request, opened *day.Day) (*goingSitting, error) {
	s, err := h.underWay(r.Context(), opened.Place.ID)
	if err != nil || s == nil {
		return nil, err
	}
	g := &goingSitting{ID: s.ID, Begun: s.List.Begun}
	g.Done, _, g.All = s.List.Tasks()
	if i := s.List.Current(h.Days.Now()); i >= 0 {
		g.Next = s.List.Items[i].Says
	}
	return g, nil
}

// nowPage gathers what there is to do, by a forecast and the day with all that was
// written down.
func (h nowPages) nowPage(f *day.Forecast, opened *day.Day) nowPage {
	plan := f.Plan()
	p := nowPage{CatchUp: plan.CatchUp, CanBegin: h.Sittings != nil}
	told := map[string]bool{}
	if len(plan.Sittings) > 0 {
		p.Next = &plan.Sittings[0]
		for _, t := range p.Next.Turns {
			told[t.Task] = true
		}
	}
	for _, a := range f.Alarms() {
		if a.Task != "" && told[a.Task] {
			p.Safety++
			continue
		}
		p.Alarms = append(p.Alarms, a)
		told[a.Task] = true
	}
	for _, round := range f.RoundsToday(opened) {
		line := routineLine{round, h.tokens.Draw()}
		if round.Now {
			p.Rounds = append(p.Rounds, line)
		} else {
			p.Other = append(p.Other, line)
		}
	}
	for i, s := range f.Highest(mostDials) {
		drawn := picture.Dial{ID: "dial-" + strconv.Itoa(i), Title: s.Title, Reading: s.Reading}.Draw(writing)
		p.Dials = append(p.Dials, dial{s, drawn})
	}
	for _, v := range plan.Visits {
		if v.CallBy <= f.Day.Today+callAhead {
			p.Visits = append(p.Visits, v)
			for _, t := range v.Turns {
				told[t.Task] = true
			}
		}
	}
	for _, v := range f.Visits().On(opened) {
		if v.On > f.Day.Today+callAhead {
			continue
		}
		p.Booked = append(p.Booked, v)
		for _, t := range v.Turns {
			told[t.Task] = told[t.Task] || !v.Missed
		}
	}
	p.sort(f, told)
	return p
}

// sort puts the tasks that nothing told of yet into their months.
func (p *nowPage) sort(f *day.Forecast, told map[string]bool) {
	var lines []dueLine
	for _, d := range f.Due() {
		on := plannedFor(d, f.Day.Zone)
		switch {
		case told[d.Task] || d.Routine:
		case on.IsZero() && d.Overdue:
			p.Past = append(p.Past, d)
		case on.IsZero():
			p.Beyond = append(p.Beyond, d)
		default:
			lines = append(lines, dueLine{d, on})
		}
	}
	slices.SortStableFunc(lines, func(a, b dueLine) int { return int(a.On - b.On) })
	for _, l := range lines {
		first := l.On - record.Date(l.On.In(time.UTC).Day()-1)
		if n := len(p.Months); n == 0 || p.Months[n-1].First != first {
			p.Months = append(p.Months, monthOfDues{First: first})
		}
		last := &p.Months[len(p.Months)-1]
		last.Dues = append(last.Dues, l)
	}
}

// plannedFor is the day that a task is planned for, or else likely due; zero for what
// is past and has no place, or is further off than can be foreseen.
func plannedFor(d day.Due, zone *time.Location) record.Date {
	switch {
	case d.Booked != nil:
		return d.Booked.On
	case d.Sitting != nil:
		return record.DateOf(d.Sitting.In(zone))
	case d.Visit != nil:
		return *d.Visit
	case d.Likely != nil && !d.Overdue && !d.Beyond:
		return *d.Likely
	}
	return 0
}

// tickRoutine writes a round of the routine down, or one task of it.
func (h nowPages) tickRoutine(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	tasks := filled["task"]
	written, err := h.tokens.Once(r, form.TokenOf(filled), func() (int64, error) {
		done, err := h.journalOf(r.Context()).DoRound(r.Context(), opened, tasks, opened.Today)
		if err != nil || len(done) == 0 {
			return 0, err
		}
		return done[0].Record, nil
	})
	switch {
	case err != nil:
		h.fail(w, r, err)
	case written == 0: // all of it was done today
		http.Redirect(w, r, "/", http.StatusSeeOther)
	default:
		seeOther(w, r, "/", written, "round", "all")
	}
}

// writtenWith returns the services that were written down in the same breath as
// another, after it.
func writtenWith(r *http.Request, opened *day.Day, first day.HistoryLine) ([]day.HistoryLine, error) {
	var also []day.HistoryLine
	for id := first.Record + 1; id <= first.Record+mostOfRound; id++ {
		line, err := opened.HistoryLine(r.Context(), id)
		if err != nil {
			return nil, err
		}
		if line == nil || line.Kind != record.KindService || line.Entered != first.Entered || line.Source != first.Source {
			break
		}
		if line.Voided == 0 {
			also = append(also, *line)
		}
	}
	return also, nil
}

// mostOfRound bounds how many records of a round are told of.
const mostOfRound = 20
