package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/netip"
	"strings"
	"sync"
	"time"

	"limekeep/cmd/limekeep/intake/busycal"
	"limekeep/cmd/limekeep/web/dav"
	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/gate"
	"limekeep/cmd/limekeep/web/packing"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// Server answers the requests of browsers and calendar programs for one place.
// Its fields are set before Handler is called and stay as they are.
type Server struct {
	Days      *day.Opener
	Journal   *journal.Journal // whose source is that of the pages
	Publisher *agenda.Publisher

	// Secret returns the secret in the calendar's address. An empty secret, or
	// no function at all, means that there is no subscription address.
	Secret func(context.Context) (string, error)

	// SyncStore keeps what task apps were shown. Without it there is nothing for task
	// apps.
	SyncStore schedule.SyncStore

	// Sittings keeps the sittings that were begun. Without it none can be.
	Sittings schedule.SittingStore

	// OwnCal keeps the calendars of owners, on whose busy times nothing is planned.
	// Without it none can be brought.
	OwnCal *busycal.Kept

	// CheckPassword reports whether a password of a task app is right, and the
	// app's name. Without it no task app gets in.
	CheckPassword func(ctx context.Context, password string) (app string, ok bool, err error)

	TakeTodos bool   // whether to-dos that apps make become tasks of the owner's own
	OwnURL    string // address for links in what is made ahead of any request, where BaseURL is empty

	Under string // address below which the pages lie, such as /at/kitchen; empty where they lie at the root

	Log   *slog.Logger // of what went wrong; nothing is logged where nil
	Place string       // id; may be empty where there is just one place
	Today record.Date  // the place's own today where zero

	// NewSecret puts a new secret in the place of the old. Without it the pages
	// cannot replace the calendar's address.
	NewSecret func(context.Context) (string, error)

	// Apps keeps the passwords of task apps. Without it the pages say nothing of
	// them.
	Apps Apps

	// BaseURL is the address under which others reach the server, such as
	// https://care.example, for links that leave the pages. Where it is empty
	// they carry the host that the request asked for.
	BaseURL string

	// AllowedHosts lists the names a request may ask for: a host, which then
	// goes with any port, or a host and port. Where the list is set, all other
	// names get status 421, so that a foreign page cannot reach the server
	// through a name of its own that it points here (DNS rebinding).
	AllowedHosts []string

	// AnyAddress lets a request ask for any IP address as well: no name can be pointed
	// away from one.
	AnyAddress bool

	// Owner keeps the password that the pages ask for. Without it they ask for none.
	Owner Owner

	// People keeps who may come in beside the owner. Without it nobody may.
	People People

	// All is whether the server is about all places, and has none of its own.
	All bool

	// MustHavePassword keeps the pages closed while no password is set: they can be
	// reached from other computers.
	MustHavePassword bool

	// CheckToken reports whether a token opens a scope ("feed", "use" or "all"), and
	// the name it was made for. Without it no token does.
	CheckToken func(ctx context.Context, token, scope string) (name string, ok bool, err error)

	// TrustedProxies are the networks of servers in front that are believed when they
	// say from which address and how a request came to them.
	TrustedProxies []netip.Prefix

	// Shared is what other servers of the same records have in common with this one; nil
	// where there are none.
	Shared schedule.Shared

	once sync.Once
	only *publisher
}

// publisher returns the one publisher of the server.
func (s *Server) publisher() *publisher {
	s.once.Do(func() { s.only = newPublisher(s) })
	return s.only
}

// mostBodyBytes is what a form may weigh: many times the largest filled in.
const mostBodyBytes = 64 << 10

// Handler returns what answers every request, guarded and ready to be served.
func (s *Server) Handler() http.Handler {
	h := s.handler()
	return guards{h}.guard(h.withTaskApps(h.inner()))
}

// handler returns the server at work.
func (s *Server) handler() *handler {
	h := &handler{Server: s, log: s.Log, pages: parsePages(), tokens: form.NewOnceTokens(s.Shared), publisher: s.publisher(), attempts: gate.NewAttempts(time.Now, s.Shared)}
	if h.log == nil {
		h.log = slog.New(slog.DiscardHandler)
	}
	for _, name := range s.AllowedHosts {
		h.hosts = append(h.hosts, gate.PlainHost(name))
	}
	return h
}

// inner returns the pages, with what each of them needs around it.
func (h *handler) inner() http.Handler {
	mux := http.NewServeMux()
	for _, family := range []interface{ routes(*http.ServeMux) }{
		nowPages{h},
		sittingPages{h},
		taskPages{h},
		planPages{h},
		visitPages{h},
		reportPages{h},
		usePages{h},
		importPages{h, &keptUploads{}},
		waterPages{h, &waterMemory{}},
		historyPages{h},
		scorePages{h},
		calendarPages{h},
		equipmentPages{h},
		aboutPages{h},
		settingsPages{h},
		changePages{h},
		addPages{h},
		carePages{h},
		passwordPages{h},
		ownCalendarPages{h},
		readerPages{h},
		signInPages{h},
		invitedPages{h, h.onlyPlace},
		peoplePages{h, h.onlyPlace},
		setupPages{h},
		paperPages{h},
		programs{h},
	} {
		family.routes(mux)
	}
	staticFiles(mux)
	mux.HandleFunc("GET /", h.nothingHere)
	return h.leadBelow(limitedBody(packing.Answers(h.answer(doorkeeper{h}.behindSignIn(mux)), showsSecret)))
}

// staticFiles serves what comes with the program.
func staticFiles(mux *http.ServeMux) {
	mux.HandleFunc("GET /static/style.css", static("text/css; charset=utf-8", styleSheet))
	mux.HandleFunc("GET /static/water.js", static("text/javascript; charset=utf-8", waterScript))
	mux.HandleFunc("GET /static/page.js", static("text/javascript; charset=utf-8", script))
	mux.HandleFunc("GET /static/icon.svg", static("image/svg+xml", icon))
}

// handler is a server at work, with what all of its pages share. Each family of
// pages is a type of its own around it, which says at which addresses it answers.
type handler struct {
	*Server
	log       *slog.Logger
	pages     pages
	tokens    *form.OnceTokens
	publisher *publisher
	keptPages keptPages
	answers   answers
	attempts  *gate.Attempts
	uploading uploading
	hosts     []string // that a request may ask for; any where empty
	comparing slowWork[comparedKey, advice.WaterComparison]
	earlier   slowWork[earlierKey, *day.Forecast]
}

// withTaskApps lets task apps in at their addresses.
func (h *handler) withTaskApps(pages http.Handler) http.Handler {
	handler := h.taskApps()
	if handler == nil {
		return pages
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if forTaskApps(r) {
			handler.ServeHTTP(w, r.WithContext(gate.WithAddress(r.Context(), h.client(r).Address)))
			return
		}
		pages.ServeHTTP(w, r)
	})
}

// forTaskApps reports whether a request is for task apps to send. Some look for the
// principal at the root.
func forTaskApps(r *http.Request) bool {
	root := r.URL.Path == "/" && (r.Method == "PROPFIND" || r.Method == http.MethodOptions)
	return root || r.URL.Path == "/.well-known/caldav" || r.URL.Path == davPrefix || strings.HasPrefix(r.URL.Path, davPrefix+"/")
}

// taskApps answers task apps; nil where none get in.
func (h *handler) taskApps() http.Handler {
	if h.SyncStore == nil || h.CheckPassword == nil {
		return nil
	}
	apps := &dav.Server{
		Collection: collection{h.publisher}, Prefix: davPrefix, User: h.Place, Log: h.log,
		Authenticate: func(ctx context.Context, user, password string) (string, bool, error) {
			app, ok, err := h.CheckPassword(ctx, password)
			if ok = ok && user == h.Place; !ok && err == nil {
				h.log.WarnContext(ctx, "the password of a task app was wrong", "address", gate.AddressOf(ctx))
			}
			return app, ok, err
		},
	}
	return apps.Handler()
}

// davPrefix is where the addresses for task apps begin.
const davPrefix = "/dav"

// moment is what every question is about.
func (s *Server) moment() schedule.Moment {
	return schedule.Moment{Place: s.Place, Today: s.Today}
}

// open opens the day of a request. All that the request asks is asked of it, so
// that the records are read once and midnight cannot fall between two answers of
// one page.
func (h *handler) open(ctx context.Context) (*day.Day, error) {
	return h.Days.Open(ctx, h.moment())
}

// foresee returns the forecast of a request: the last one where it is at hand, else
// that of the day.
func (h *handler) foresee(ctx context.Context) (*day.Forecast, error) {
	if f, err := h.publisher.atHand(ctx); f != nil || err != nil {
		return f, err
	}
	opened, err := h.open(ctx)
	if err != nil {
		return nil, err
	}
	return opened.Forecast(ctx)
}

// base returns the start of addresses that leave the pages.
func (h *handler) base(r *http.Request) string {
	switch {
	case h.BaseURL != "":
		return strings.TrimRight(h.BaseURL, "/")
	case h.client(r).Secure:
		return "https://" + r.Host
	}
	return "http://" + r.Host
}

// pagesBase returns the start of addresses of pages of the place, for links from outside.
func (h *handler) pagesBase(r *http.Request) string { return h.base(r) + h.Under }

// clients tells who sends a request.
func (h *handler) clients() gate.Clients {
	return gate.Clients{TrustedProxies: h.TrustedProxies, BaseURL: h.BaseURL}
}

// client returns who sends a request.
func (h *handler) client(r *http.Request) gate.Client { return h.clients().Of(r) }

// nothingHere answers for every address without a page.
func (h *handler) nothingHere(w http.ResponseWriter, r *http.Request) {
	h.message(w, r, http.StatusNotFound, wording.NothingHere, wording.ThereIsNoPageAtThisAddress)
}
