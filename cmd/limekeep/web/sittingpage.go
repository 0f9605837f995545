package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"time"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/advice"
	"limekeep/schedule/care"
	"limekeep/schedule/checklist"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// sittingPage is a checklist as it stands.
type sittingPage struct {
	ID      string
	List    checklist.Checklist
	Done    int
	Left    int
	All     int
	Now     time.Time
	Items   []shownItem
	Running []shownItem // waits that go on, the soonest over first
	Problem string      // with what was sent; empty for none
	Token   string
}

// Rest counts the tasks that are neither done nor left out.
func (p sittingPage) Rest() int { return p.All - p.Done - p.Left }

// shownItem is an item of a checklist with what is needed to do it.
type shownItem struct {
	checklist.Item
	Index    int
	Now      bool // it is what is to be done
	Going    bool // a wait that runs
	Seconds  int  // until it is over
	Zone     *time.Location
	WaitOver bool
	Blocked  bool // something must be confirmed first
	Until    time.Time
	Steps    day.Procedure // of work
	Findings []form.Choice // that the task can record, in a tap each
	Grams    bool          // the scale may be weighed
	Check    *form.Form    // of a task that a reading does
	ByTest   bool          // a water test does it
	Line     *day.HistoryLine
	Page     *sittingPage
}

// Booked reports whether the item's task is for others to do.
func (x shownItem) Booked() bool { return x.Steps.Who.Booked() }

// Found says what the item was written down as.
func (x shownItem) Found() *day.Told {
	if x.Line == nil {
		return nil
	}
	told := x.Line.ToldAlone()
	return &told
}

// showChecklist shows the checklist of a sitting, with what is wrong with what was sent.
func (h sittingPages) showChecklist(w http.ResponseWriter, r *http.Request, status int, opened *day.Day, s *begunSitting, wrong *itemProblem) {
	p := &sittingPage{ID: s.ID, List: s.List, Now: h.Days.Now(), Token: h.tokens.Draw()}
	p.Done, p.Left, p.All = s.List.Tasks()
	if wrong != nil {
		p.Problem = wrong.Text
	}
	current := s.List.Current(p.Now)
	if i, err := strconv.Atoi(r.URL.Query().Get("item")); err == nil && i >= 0 && i < len(s.List.Items) && s.List.Items[i].Open() {
		current = i // whoever works by it chose another
	}
	if wrong != nil && wrong.Form != nil {
		current = wrong.Item
	}
	for i, x := range s.List.Items {
		shown := shownItem{Item: x, Index: i, Now: i == current, Zone: opened.Zone, Going: x.Running(p.Now), Seconds: int(x.Until().Sub(p.Now).Seconds()), WaitOver: x.Over(p.Now), Blocked: len(s.List.Unsafe(i)) > 0, Until: x.Until(), Page: p}
		if x.Kind == checklist.Work {
			if err := h.fillItem(r, opened, &shown); err != nil {
				h.fail(w, r, err)
				return
			}
		}
		if wrong != nil && wrong.Form != nil && i == wrong.Item {
			shown.Check = wrong.Form
		}
		p.Items = append(p.Items, shown)
		if shown.Going {
			p.Running = append(p.Running, shown)
		}
	}
	slices.SortStableFunc(p.Running, func(a, b shownItem) int { return a.Until.Compare(b.Until) })
	h.showForm(w, r, status, "sitting", page{Title: wording.Sitting, Here: sittingPath, Place: opened.Info(), Body: p})
}

// fillItem puts to a piece of work how it is done and how it is written down. A task
// that left the place since has nothing of that.
func (h sittingPages) fillItem(r *http.Request, opened *day.Day, x *shownItem) error {
	duty, err := opened.Duty(x.Task)
	if err != nil {
		return nil //nolint:nilerr // it is shown without
	}
	if x.Steps, err = opened.Steps(x.Task); err != nil {
		return err
	}
	if !x.Last {
		return nil
	}
	if x.Record != 0 {
		x.Line, err = opened.HistoryLine(r.Context(), x.Record)
		return err
	}
	x.ByTest = duty.Task.TestsWater()
	for _, f := range day.FindingsOf(duty.Task) {
		x.Findings = append(x.Findings, form.Choice{Value: f, Label: findingWords[record.Finding(f)]})
	}
	x.Grams = duty.Task.Findings == care.FindsScale
	if !x.Now {
		return nil // the fields of a form have ids, of which a page can hold one each
	}
	check, err := opened.Check(x.Task)
	if err != nil || check == nil {
		return err
	}
	s := h.itemCheckForm(*check, opened, x.Index)
	s.Action = sittingPath + "/" + x.Page.ID + "/done"
	x.Check = &s
	return nil
}

// outcomePage is what came of a sitting.
type outcomePage struct {
	List    checklist.Checklist
	Done    int
	Left    int
	All     int
	Written []writtenTask
	Open    []openTask // not done, and when it comes now
	Moved   []movedDate
	Orders  []day.OrderInfo
	Soon    bool // the forecast from what was written down is being worked out

	Signed   int64      // record of the report that was signed; 0 for none
	Sign     *form.Form // nil where it was signed, or nobody here may have it signed
	Problems form.Problems
}

// writtenTask is a task of a sitting that was done in it.
type writtenTask struct {
	Task, Title, Name string
	Line              day.HistoryLine
	Told              day.Told
	Learnt            []string // from what was found; none while the forecast is from before it
}

// openTask is a task of a sitting that was not done in it.
type openTask struct {
	Task, Title, Name string
	On                *record.Date
}

// movedDate is a task whose likely date is another than as the sitting began.
type movedDate struct {
	Task, Title, Name string
	Was, Is           *record.Date
	Here              bool // it was done in the sitting
	Why               []string
}

// leastMove is how many days a date moves to be told of where its task was not done.
// Assumption: less is noise to somebody who plans by the week.
const leastMove = 7

// showOutcome shows what came of a sitting that is over.
func (h sittingPages) showOutcome(w http.ResponseWriter, r *http.Request, opened *day.Day, s *begunSitting) {
	h.outcome(w, r, http.StatusOK, opened, s, nil)
}

// outcome shows it with the form that signs its report, as it was filled in.
func (h sittingPages) outcome(w http.ResponseWriter, r *http.Request, status int, opened *day.Day, s *begunSitting, filled *form.Form) {
	f, err := h.foreseeOn(r.Context(), opened)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := outcomePage{List: s.List, Soon: f.Day.Version() != opened.Version(), Orders: f.Orders()}
	p.Done, p.Left, p.All = s.List.Tasks()
	if p.Signed = signedAlready(opened, s.ID); p.Signed == 0 && skilledOne(r) {
		if p.Sign = filled; filled == nil {
			asked := h.signForm(r, s)
			p.Sign = &asked
		} else {
			p.Problems = filled.Problems()
		}
	}
	dues := map[string]day.Due{}
	for _, d := range f.Due() {
		dues[d.Task] = d
	}
	done := map[string]bool{}
	for _, x := range s.List.Items {
		switch {
		case !x.Last:
		case x.Record != 0:
			done[x.Task] = true
			line, err := opened.HistoryLine(r.Context(), x.Record)
			if err != nil {
				h.fail(w, r, err)
				return
			}
			if line != nil {
				done := writtenTask{Task: x.Task, Title: x.Title, Name: x.Name, Line: *line, Told: line.ToldAlone()}
				if entry, ok := f.Day.Entry(x.Record); ok && line.Voided == 0 {
					if service, ok := entry.Body.(record.Service); ok {
						done.Learnt = advice.LearntFrom(f, service)
					}
				}
				p.Written = append(p.Written, done)
			}
		default:
			o := openTask{Task: x.Task, Title: x.Title, Name: x.Name}
			if d, ok := dues[x.Task]; ok {
				if on := plannedFor(d, f.Day.Zone); !on.IsZero() {
					o.On = &on
				}
			}
			p.Open = append(p.Open, o)
		}
	}
	for _, was := range s.List.Before {
		d, ok := dues[was.Task]
		if !ok || !done[was.Task] && !apart(was.Likely, d.Likely, leastMove) || known(was.Likely) == known(d.Likely) {
			continue
		}
		m := movedDate{Task: was.Task, Title: was.Title, Name: was.Name, Was: was.Likely, Is: d.Likely, Here: done[was.Task]}
		if m.Here {
			m.Why = d.Why
		}
		p.Moved = append(p.Moved, m)
	}
	slices.SortStableFunc(p.Moved, func(a, b movedDate) int { return cmp.Compare(known(a.Is), known(b.Is)) })
	h.showForm(w, r, status, "sittingend", page{Title: wording.WhatCameOfTheSitting, Here: sittingPath, Place: opened.Info(), Body: p})
}

// apart reports whether two dates lie apart by so many days.
func apart(a, b *record.Date, days record.Date) bool {
	if a == nil || b == nil {
		return a != b && (a == nil) != (b == nil)
	}
	return *a-*b >= days || *b-*a >= days
}
