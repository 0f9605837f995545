package web

import (
	"cmp"
	"math"
	"net/http"
	"slices"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// recordPage is where a label leads: what was done to a thing, ready to be written
// down in one tap. Without a label it is about all that stands at the place.
type recordPage struct {
	ID, Name string // empty for all
	Line     bool
	Machine  bool
	Soon     []recordTask // of the routine, due within the month, or past
	Others   []recordTask
}

// recordTask is a task that may just have been done.
type recordTask struct {
	day.Due
	Of    string // name of the equipment, where the page is about several
	Today record.Date
	Token string // to write it down in one tap; empty where it is done by a reading, a test or a visit
}

// turn is how many days the task's turn lasts from its last service, likely.
func (t recordTask) turn() int {
	if t.Likely == nil {
		return math.MaxInt32
	}
	since := t.Fresh
	if t.LastService != nil {
		since = *t.LastService
	}
	return int(*t.Likely - since)
}

// soonDays is how far ahead a task is shown at once.
const soonDays = 31

func (h paperPages) record(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := recordPage{ID: r.PathValue("id")}
	title := wording.WriteDownWhatWasDone
	if p.ID != "" {
		e, err := f.Day.Book.Find(p.ID)
		if err != nil {
			h.fail(w, r, err)
			return
		}
		p.ID, p.Name, p.Line, p.Machine = e.ID, e.Title(), e.Line != nil, e.Machine != nil
		title = wording.WriteDownOf(p.Name)
	}
	for _, due := range f.Due() {
		if p.ID != "" && due.Equipment != p.ID || due.OnItsDay {
			continue
		}
		t := recordTask{Due: due, Today: f.Day.Today}
		if p.ID == "" {
			t.Of = due.Name
		}
		if !due.Who.Booked() && !asksForFigures(f.Day, due.Task) {
			t.Token = h.tokens.Draw()
		}
		if due.Routine || due.Likely != nil && *due.Likely <= f.Day.Today+soonDays {
			p.Soon = append(p.Soon, t)
		} else {
			p.Others = append(p.Others, t)
		}
	}
	// What is done at a tap comes first, the routine before all, and what comes round
	// soonest before what seldom does: it is what is written down most.
	rank := func(t recordTask) int {
		switch {
		case t.Token != "" && t.Routine:
			return 0
		case t.Token != "":
			return 1
		}
		return 2
	}
	slices.SortStableFunc(p.Soon, func(a, b recordTask) int { return cmp.Or(rank(a)-rank(b), a.turn()-b.turn()) })
	h.showForm(w, r, http.StatusOK, "record", page{Title: title, Here: "/equipment", Place: f.Day.Info(), Body: p})
}

// asksForFigures reports whether a task is done by a reading or a water test.
func asksForFigures(d *day.Day, task string) bool {
	for _, duty := range d.Duties {
		if duty.ID == task {
			return duty.Task.Records != "" || duty.Task.TestsWater()
		}
	}
	return false
}
