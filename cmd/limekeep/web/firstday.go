package web

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"time"

	"limekeep/cmd/limekeep/web/api"
	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/gate"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/care"
	"limekeep/schedule/interview"
	"limekeep/schedule/record"
)

// FirstDay answers while no place is set up yet: whatever is asked for leads to the
// questions.
type FirstDay struct {
	Catalogue    *care.Catalogue
	Now          func() time.Time // the clock
	Today        record.Date      // the place's own today where zero
	Zone         string           // that the place is likely in; empty where unknown
	AllowedHosts []string         // see Server
	Log          *slog.Logger     // may be nil

	// Start writes down what the questions were answered with.
	Start func(ctx context.Context, told interview.Told) error

	// Programs sets a place up for programs; its Moment is that of the pages.
	Programs *api.SetUp
}

// firstDay is a FirstDay at work.
type firstDay struct {
	*handler
	*FirstDay
}

// Handler returns what answers every request, guarded and ready to be served.
func (f *FirstDay) Handler() http.Handler {
	h := &handler{Server: &Server{}, log: f.Log, pages: parsePages(), tokens: form.NewOnceTokens(nil)}
	if h.log == nil {
		h.log = slog.New(slog.DiscardHandler)
	}
	for _, name := range f.AllowedHosts {
		h.hosts = append(h.hosts, gate.PlainHost(name))
	}
	d := firstDay{h, f}
	mux := http.NewServeMux()
	mux.HandleFunc("GET "+setupPath, d.ask)
	mux.HandleFunc("POST "+setupPath, d.start)
	d.programs(mux)
	mux.HandleFunc("GET /static/style.css", static("text/css; charset=utf-8", styleSheet))
	mux.HandleFunc("GET /static/page.js", static("text/javascript; charset=utf-8", script))
	mux.HandleFunc("GET /static/icon.svg", static("image/svg+xml", icon))
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, setupPath, http.StatusSeeOther) })
	mux.HandleFunc("GET /", func(w http.ResponseWriter, r *http.Request) {
		h.message(w, r, http.StatusNotFound, wording.NothingIsSetUpYet, wording.FirstDayAsks)
	})
	return guards{h}.survivePanics(guards{h}.guardPages(limitedBody(d.onlyHere(mux))))
}

// programs lets programs set the place up.
func (d firstDay) programs(mux *http.ServeMux) {
	if d.Programs == nil {
		return
	}
	u := *d.Programs
	u.Moment = func(context.Context) (api.SetUpMoment, error) {
		return api.SetUpMoment{Today: d.today(), Zone: d.Zone}, nil
	}
	u.Register(mux, d.tellPrograms)
}

// onlyHere refuses whoever asks from another computer, also by way of a server in
// front: there is nobody yet who could have set a password.
func (d firstDay) onlyHere(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host, _, err := net.SplitHostPort(r.RemoteAddr)
		if ip := net.ParseIP(host); err != nil || ip == nil || !ip.IsLoopback() || r.Header.Get("X-Forwarded-For")+r.Header.Get("Forwarded") != "" {
			d.message(w, r, http.StatusForbidden, wording.NotFromThere, wording.SetUpAtThisComputerAlone)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// today returns the day that answers are about.
func (d firstDay) today() record.Date {
	if !d.Today.IsZero() {
		return d.Today
	}
	now := d.Now()
	if zone, err := time.LoadLocation(d.Zone); err == nil && d.Zone != "" {
		now = now.In(zone)
	}
	return record.DateOf(now)
}

// ask shows the next question, or all answers.
func (d firstDay) ask(w http.ResponseWriter, r *http.Request) {
	given, today, asking := r.URL.Query(), d.today(), setupAsking(d.Zone)
	a := asking.answersIn(given, today)
	q, more := asking.next(a)
	problem, value := "", ""
	if more {
		if typed, ok := typedAnswer(given, q); ok {
			is, err := q.Read(typed, today)
			var wrong *record.FieldError
			switch {
			case errors.As(err, &wrong):
				problem, value = wording.PleaseGive(wrong.Want), typed
			case err != nil:
				d.fail(w, r, err)
				return
			case typed == "" && q.Kind == interview.Choice:
				problem = wording.ChooseOneOrDoNotKnow
			default:
				a[q.ID] = is
				http.Redirect(w, r, asking.addressWithout(a), http.StatusSeeOther) // an address to keep
				return
			}
		}
	}
	before := asking.list(a)
	back := ""
	if len(before) > 0 {
		back = before[len(before)-1].Change
	}
	if !more {
		told := a.Place(today, d.Zone)
		d.showForm(w, r, http.StatusOK, "setup", page{Bare: true, Title: wording.IsThisRight, Body: reviewPage{Path: setupPath, Token: d.tokens.Draw(), Button: wording.SetItUp, Answers: before, Assumed: told.Assumed, Back: back}})
		return
	}
	costs, err := a.Cost(r.Context(), d.Catalogue, today, d.Zone, q)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	status := http.StatusOK
	if problem != "" {
		status = http.StatusUnprocessableEntity
	}
	all := interview.Questions(a, d.Zone)
	d.show(w, r, status, "setup", page{Bare: true, Title: q.Ask, Body: questionPage{
		Question: q, Path: setupPath, Number: len(before) + 1, Of: len(all), Costs: costs, Value: value, Problem: problem, Before: before, Back: back,
	}})
}

// start writes the answers down, once, and leads to what follows.
func (d firstDay) start(w http.ResponseWriter, r *http.Request) {
	filled, err := form.FilledIn(r)
	if err != nil {
		d.failForm(w, r, err)
		return
	}
	today, asking := d.today(), setupAsking(d.Zone)
	a := asking.answersIn(filled, today)
	if _, more := asking.next(a); more {
		http.Redirect(w, r, asking.addressWithout(a), http.StatusSeeOther)
		return
	}
	if _, err := d.tokens.Once(r, form.TokenOf(filled), func() (int64, error) { return 1, d.Start(r.Context(), a.Place(today, d.Zone)) }); err != nil {
		d.fail(w, r, err)
		return
	}
	http.Redirect(w, r, setupPath+"?"+url.Values(valuesOf(a)).Encode(), http.StatusSeeOther)
}

func valuesOf(a interview.Answers) map[string][]string {
	values := map[string][]string{}
	for id, is := range a {
		values[id] = []string{is}
	}
	return values
}
