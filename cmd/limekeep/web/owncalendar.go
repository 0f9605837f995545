package web

import (
	"context"
	"net/http"
	"net/url"
	"time"

	"limekeep/cmd/limekeep/intake/busycal"
	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// ownCalendarPages take a calendar of the owner's own, on whose busy times nothing is
// planned.
type ownCalendarPages struct{ *handler }

const ownCalendarPath = "/own-calendar"

func (h ownCalendarPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+ownCalendarPath, h.show)
	mux.HandleFunc("POST "+ownCalendarPath+"/file", h.bring)
	mux.HandleFunc("POST "+ownCalendarPath+"/address", h.name)
	mux.HandleFunc("POST "+ownCalendarPath+"/remove", h.remove)
}

// ownCalendarPage is what is known of it.
type ownCalendarPage struct {
	Calendar schedule.OwnCalendar
	Off      bool   // none can be brought here
	Says     string // what was just done; empty for nothing
	Soon     bool   // it is being fetched
	Host     string // that it is fetched from
	Busy     []busyTime
	More     int    // busy times beyond those shown
	Wrong    string // why none is known
	Until    record.Date
	Problems form.Problems
	File     form.Form
	Address  form.Form
	Remove   form.Form
}

// busyTime is one of the owner's engagements.
type busyTime struct{ From, To time.Time }

// Days reports whether it is of whole days.
func (b busyTime) Days() bool {
	return b.From.Hour() == 0 && b.From.Minute() == 0 && b.To.Hour() == 0 && b.To.Minute() == 0
}

// First returns its first day.
func (b busyTime) First() record.Date { return record.DateOf(b.From) }

// Last returns its last day, of those that are of whole days.
func (b busyTime) Last() record.Date { return record.DateOf(b.To) - 1 }

// mostBusyShown is how many busy times the page shows.
const mostBusyShown = 12

// ownSays are the words of what a form has led to.
var ownSays = map[string]string{
	"brought": wording.CalendarFileWasRead,
	"named":   wording.CalendarAddressIsKept,
	"removed": wording.OwnCalendarTakenAway,
}

func (h ownCalendarPages) show(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, err := h.page(r.Context(), opened)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p.Says = ownSays[r.URL.Query().Get("was")]
	h.showForm(w, r, http.StatusOK, "owncalendar", page{Title: wording.YourOwnCalendar, Here: settingsPath, Place: opened.Info(), Body: p})
}

func (h ownCalendarPages) page(ctx context.Context, opened *day.Day) (ownCalendarPage, error) {
	p := ownCalendarPage{Off: h.OwnCal == nil,
		File: form.Form{Action: ownCalendarPath + "/file", Token: h.tokens.Draw(), Button: wording.BringTheFile, File: true, Quiet: true, Fields: []form.Field{
			{Name: "calendar", Label: wording.CalendarFile, Hint: wording.CalendarFileHint, Kind: form.FileInput, Required: true, About: []string{"file"}},
		}},
		Address: form.Form{Action: ownCalendarPath + "/address", Token: h.tokens.Draw(), Button: wording.FetchItFromThere, Quiet: true, Fields: []form.Field{
			{Name: "address", Label: wording.Address, Hint: wording.CalendarAddressHint, Kind: form.LineInput, Required: true, Example: "https://calendar.example/mine.ics", Most: 2000, About: []string{"address"}},
		}},
		Remove: form.Form{Action: ownCalendarPath + "/remove", Token: h.tokens.Draw(), Button: wording.TakeItAway, Quiet: true},
	}
	if p.Off {
		return p, nil
	}
	var err error
	if p.Calendar, err = h.OwnCal.Store.OwnCalendar(ctx, opened.Place.ID); err != nil || p.Calendar.None() {
		return p, err
	}
	if u, err := url.Parse(p.Calendar.Address); err == nil {
		p.Host = u.Hostname()
	}
	p.Soon = p.Calendar.Taken.IsZero() && p.Calendar.Wrong == ""
	within := opened.Planned()
	p.Until = record.DateOf(within.To) - 1
	if p.Soon {
		return p, nil
	}
	busy, err := h.OwnCal.Busy(ctx, opened.Place.ID, within, opened.Zone)
	if err != nil {
		p.Wrong = err.Error()
		return p, ctx.Err()
	}
	for _, b := range busy {
		if len(p.Busy) == mostBusyShown {
			p.More = len(busy) - mostBusyShown
			break
		}
		p.Busy = append(p.Busy, busyTime{b.From.In(opened.Zone), b.To.In(opened.Zone)})
	}
	return p, nil
}

// there returns the page where calendars are taken at all; else it has answered.
func (h ownCalendarPages) there(w http.ResponseWriter, r *http.Request, opened *day.Day) (ownCalendarPage, bool) {
	p, err := h.page(r.Context(), opened)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case p.Off:
		h.nothingHere(w, r)
	default:
		return p, true
	}
	return p, false
}

// bring takes a calendar file.
func (h ownCalendarPages) bring(w http.ResponseWriter, r *http.Request) {
	filled, file, opened, ok := h.broughtFile(w, r, busycal.MostBytes)
	if !ok {
		return
	}
	p, ok := h.there(w, r, opened)
	if !ok {
		return
	}
	if file.Name == "" {
		p.File.Wrong("calendar", form.ErrNoFile)
	}
	h.take(w, r, opened, p, &p.File, filled, "brought", func() error {
		return h.OwnCal.Bring(r.Context(), opened.Place.ID, file.Name, file.Data, opened.Planned(), opened.Zone)
	})
}

// name takes an address.
func (h ownCalendarPages) name(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	p, ok := h.there(w, r, opened)
	if !ok {
		return
	}
	p.Address.Fill(filled)
	address := p.Address.Text("address")
	h.take(w, r, opened, p, &p.Address, filled, "named", func() error {
		if err := h.OwnCal.Name(r.Context(), opened.Place.ID, address); err != nil {
			return err
		}
		go h.publisher.refreshOwn(context.WithoutCancel(r.Context()), opened.Place.ID)
		return nil
	})
}

func (h ownCalendarPages) remove(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	p, ok := h.there(w, r, opened)
	if !ok {
		return
	}
	h.take(w, r, opened, p, &p.Remove, filled, "removed", func() error { return h.OwnCal.Remove(r.Context(), opened.Place.ID) })
}

// take does what a form asks for, once, and leads to what became of it.
func (h ownCalendarPages) take(w http.ResponseWriter, r *http.Request, opened *day.Day, p ownCalendarPage, s *form.Form, filled url.Values, was string, do func() error) {
	var err error
	if len(s.Problems()) == 0 {
		_, err = h.tokens.Once(r, form.TokenOf(filled), func() (int64, error) { return 0, do() })
		if err == nil {
			h.publisher.renewSoon()
			http.Redirect(w, r, ownCalendarPath+"?was="+was, http.StatusSeeOther)
			return
		}
	}
	switch {
	case err != nil && !blamable(err):
		h.fail(w, r, err)
	default:
		if err != nil {
			s.Blame(err)
		}
		p.Problems = s.Problems()
		h.showForm(w, r, http.StatusUnprocessableEntity, "owncalendar", page{Title: wording.PleaseCorrectYourOwnCalendar, Here: settingsPath, Place: opened.Info(), Body: p})
	}
}
