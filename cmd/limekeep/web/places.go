package web

import (
	"context"
	"errors"
	"log/slog"
	"maps"
	"net/http"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"limekeep/cmd/limekeep/web/api"
	"limekeep/cmd/limekeep/web/gate"
	"limekeep/cmd/limekeep/web/packing"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
)

// Places answers for every place of the records at one address: pages of a place lie
// below /at/ and its id, its calendar and its to-dos where they would be if it were the
// only one. What is there for all of them lies at the root: an overview, one calendar
// and one collection of to-dos. Its fields are set before Handler is called and stay as
// they are.
type Places struct {
	// Front says who may ask, under which names, and where what went wrong is logged. It
	// has no place: Secret, NewSecret, Apps, CheckPassword and SyncStore are those of
	// all places together.
	Front *Server

	Records schedule.Records

	// Make makes the server of a place, with Under set.
	Make func(place string) (*Server, error)

	// Round says how rounds go, and Van what is in the van. Without them there are none.
	Round func() (round.Settings, error)
	Van   func(ctx context.Context, outlooks []day.Outlook) (round.Van, error)

	// Standings is where it is kept how places stood when they were worked out last; nil
	// for nowhere.
	Standings schedule.DerivedStore

	// SetUp sets many places up from a table, and takes water tests of districts, for
	// programs; nothing is set up where nil.
	SetUp *api.FleetSetUp

	// SetVan writes down one thing of what is in the van, and by which door it came.
	// Without it that is only shown.
	SetVan func(ctx context.Context, s record.Stock, source string) (int64, error)

	// MostWarm bounds for how many places a whole forecast is held in memory; those
	// asked for the longest ago let go of theirs first, and keep their outlook.
	// UsualWarm where 0.
	MostWarm int

	once sync.Once
	at   *places
}

// UsualWarm is for how many places a forecast is held. Assumption: one takes some ten
// megabytes.
const UsualWarm = 24

// AllPlaces is what stands for all places together where an id of one would stand: for
// the user name of task apps. A place that is called so has its own.
const AllPlaces = "all"

// places is what a Places holds while it is at work.
type places struct {
	*Places
	front   *handler
	metrics *gate.Metrics
	wake    chan struct{} // that something was written down here

	mu      sync.RWMutex
	byID    map[string]*placeAtWork
	order   []string // ids, sorted
	version int64    // of all records, when the list was read

	versions map[string]int64 // of each place, then
	whole    wholeFeed
	todos    wholeTodos
}

// placeAtWork is one of the places.
type placeAtWork struct {
	id      string
	server  *Server
	handler *handler
	pages   http.Handler
	apps    http.Handler // for task apps; nil where none get in

	outlook atomic.Pointer[day.Outlook]  // nil until it was worked out first
	failing atomic.Pointer[string]       // why it cannot be worked out; nil where it can
	kept    atomic.Pointer[day.Standing] // from an earlier run; nil until it was asked for
	agenda  atomic.Pointer[agenda.Agenda]
	asked   atomic.Int64 // when it was asked for last, in nanoseconds
	cooled  atomic.Int64 // when it let go of its forecast

	district atomic.Pointer[string] // that its water comes from; nil until it was worked out first

	// What the watch alone knows.
	retry   time.Time // before which it is not tried again
	waits   time.Duration
	renewed time.Time
	settled *edition // that its forecast was settled for
}

// work returns what is at work.
func (p *Places) work() *places {
	p.once.Do(func() {
		p.at = &places{Places: p, metrics: gate.NewMetrics(), wake: make(chan struct{}, 1), byID: map[string]*placeAtWork{}}
		p.at.front = p.Front.handler()
		p.at.todos.places, p.at.whole.places = p.at, p.at
	})
	return p.at
}

// look reads which places there are, where anything was written down since.
func (p *places) look(ctx context.Context) error {
	version, err := p.Records.Version(ctx)
	if err != nil {
		return err
	}
	p.mu.RLock()
	same := version == p.version && len(p.order) > 0
	p.mu.RUnlock()
	if same {
		return nil
	}
	ids, err := p.Records.Places(ctx)
	if err != nil {
		return err
	}
	p.mu.RLock()
	since := p.version
	p.mu.RUnlock()
	versions, err := p.Records.VersionsSince(ctx, since)
	if err != nil {
		return err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.versions == nil {
		p.versions = map[string]int64{}
	}
	maps.Copy(p.versions, versions)
	for _, id := range ids {
		if p.byID[id] != nil {
			continue
		}
		server, err := p.Make(id)
		if err != nil {
			return err
		}
		server.publisher().wake = p.wake
		h := server.handler()
		p.byID[id] = &placeAtWork{id: id, server: server, handler: h, pages: h.inner(), apps: h.taskApps()}
	}
	p.order, p.version = ids, version
	return nil
}

// versionOf returns the version of a place and its water district when it was last looked
// what was written down: asked of all places together, since there may be thousands.
func (p *places) versionOf(at *placeAtWork) int64 {
	p.mu.RLock()
	defer p.mu.RUnlock()
	version := p.versions[at.id]
	if district := at.district.Load(); district != nil && *district != "" {
		version = max(version, p.versions[schedule.DistrictBook(*district)])
	}
	return version
}

// list returns the places, by id.
func (p *places) list() []*placeAtWork {
	p.mu.RLock()
	defer p.mu.RUnlock()
	all := make([]*placeAtWork, 0, len(p.order))
	for _, id := range p.order {
		all = append(all, p.byID[id])
	}
	return all
}

// seenBy returns the places that who sends a request may come to.
func (p *places) seenBy(ctx context.Context) []*placeAtWork {
	all := p.list()
	if who := personOf(ctx); who != nil {
		all = slices.DeleteFunc(all, func(at *placeAtWork) bool { return !who.at(at.id) })
	}
	return all
}

// find returns a place; nil where there is none of that id.
func (p *places) find(id string) *placeAtWork {
	p.mu.RLock()
	defer p.mu.RUnlock()
	if !slices.Contains(p.order, id) {
		return nil
	}
	return p.byID[id]
}

// Handler returns what answers every request, guarded and ready to be served.
func (p *Places) Handler() http.Handler {
	w := p.work()
	h := w.front
	mux := http.NewServeMux()
	for _, family := range []interface{ routes(*http.ServeMux) }{
		signInPages{h},
		invitedPages{h, w.placeNames},
		peoplePages{h, w.placeNames},
		&vanPages{h, w},
		overviewPages{h, w},
		comparedPages{h, w},
		fleetPrograms{comparedPages{h, w}},
		tablePages{h, w, &keptUploads{}},
		&roundPages{handler: h, places: w},
	} {
		family.routes(mux)
	}
	staticFiles(mux)
	mux.HandleFunc("GET /", w.nothingHere)
	root := limitedBody(packing.Answers(h.answer(doorkeeper{h}.behindSignIn(mux)), showsSecret))
	pages := guards{h}.guardPages(http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		if at, rest := w.placeOf(r.URL.Path); at != nil {
			at.serve(rw, r, rest)
			return
		}
		root.ServeHTTP(rw, r)
	}))
	log := gate.AccessLog{Log: h.log, Metrics: w.metrics, Clients: h.clients(), AppsPrefix: davPrefix}
	return log.Around(guards{h}.survivePanics(w.healthFirst(w.feedsFirst(w.appsFirst(pages)))))
}

// placeOf takes the address of a page of a place apart; nil where it is none.
func (p *places) placeOf(path string) (*placeAtWork, string) {
	below, ok := strings.CutPrefix(path, atPath)
	if !ok {
		return nil, ""
	}
	id, rest, _ := strings.Cut(below, "/")
	return p.find(id), "/" + rest
}

// serve answers for a page of the place.
func (w *placeAtWork) serve(rw http.ResponseWriter, r *http.Request, rest string) {
	w.asked.Store(time.Now().UnixNano())
	inner := r.Clone(r.Context())
	inner.URL.Path, inner.URL.RawPath = rest, ""
	inner.RequestURI = inner.URL.RequestURI()
	defer func() { r.Pattern = inner.Pattern }() // for the log
	w.pages.ServeHTTP(rw, inner)
}

// nothingHere answers for an address without a page. One that a place has, and that led
// somewhere while there was but one, asks which is meant.
func (p *places) nothingHere(w http.ResponseWriter, r *http.Request) {
	h := p.front
	list := p.seenBy(r.Context())
	if len(list) == 0 || shared(r.URL.Path) || strings.HasPrefix(r.URL.Path, "/api/") {
		h.nothingHere(w, r)
		return
	}
	page1 := whichPlacePage{}
	for _, at := range list {
		page1.Places = append(page1.Places, placeLink{Name: at.name(), Page: Under(at.id) + r.URL.RequestURI()})
	}
	h.show(w, r, http.StatusNotFound, "whichplace", page{Title: wording.WhichPlace, Whole: true, Body: page1})
}

// whichPlacePage asks at which place an address is meant.
type whichPlacePage struct{ Places []placeLink }

// placeLink leads to a place.
type placeLink struct{ Name, Page string }

// name returns what the place is called, as far as that is known.
func (w *placeAtWork) name() string {
	if o := w.outlook.Load(); o != nil {
		return o.Name
	}
	return w.id
}

// feedsFirst answers calendars: of all places, of one, or of a piece of equipment. The
// secret in the address says which.
func (p *places) feedsFirst(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		secret, equipment, ok := feedPath(r.URL.Path)
		if !ok || r.Method != http.MethodGet && r.Method != http.MethodHead || !p.front.allowed(r.Host) {
			next.ServeHTTP(w, r)
			return
		}
		r.Pattern = feedPattern
		f, err := p.feedFile(r, secret, equipment)
		switch {
		case errors.Is(err, errNotYet):
			w.Header().Set("Retry-After", "30")
			http.Error(w, wording.NotEveryPlaceIsWorkedOut, http.StatusServiceUnavailable)
		case err != nil:
			p.front.fail(w, r, err)
		case f == nil:
			next.ServeHTTP(w, r)
		default:
			f.serve(w, r)
		}
	})
}

// feedFile returns the file of a calendar's address; nil where it leads nowhere.
func (p *places) feedFile(r *http.Request, given, equipment string) (*file, error) {
	ctx := r.Context()
	secret, err := p.front.publisher.secret(ctx)
	if err != nil {
		return nil, err
	}
	if (equipment == "" || equipment == roundFeed) && secret != "" && sameSecret(secret, given) {
		return p.whole.file(ctx, p.front.base(r), equipment == roundFeed)
	}
	list := p.list()
	for _, at := range list {
		secret, err := at.handler.publisher.secret(ctx)
		if err != nil {
			return nil, err
		}
		if secret != "" && sameSecret(secret, given) {
			return at.feedFile(r, equipment)
		}
	}
	for _, at := range list {
		if ok, err := (feeds{at.handler}).feedToken(r, given); err != nil {
			return nil, err
		} else if ok {
			return at.feedFile(r, equipment)
		}
	}
	return nil, nil
}

// feedFile returns the calendar of the place.
func (w *placeAtWork) feedFile(r *http.Request, equipment string) (*file, error) {
	w.asked.Store(time.Now().UnixNano())
	b, err := w.handler.publisher.current(r.Context())
	if err != nil {
		return nil, err
	}
	return b.file(fileKey{base: w.handler.pagesBase(r), equipment: equipment})
}

// appsFirst answers task apps, by the place that their address or their user name says.
func (p *places) appsFirst(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !forTaskApps(r) {
			next.ServeHTTP(w, r)
			return
		}
		if !p.front.allowed(r.Host) {
			next.ServeHTTP(w, r) // which refuses it
			return
		}
		user := ""
		if rest, ok := strings.CutPrefix(r.URL.Path, davPrefix+"/"); ok {
			user, _, _ = strings.Cut(rest, "/")
		}
		if user == "" {
			user, _, _ = r.BasicAuth()
		}
		var apps http.Handler
		at := p.find(user)
		switch {
		case at != nil:
			at.asked.Store(time.Now().UnixNano())
			apps = at.apps
		case user == AllPlaces || user == "":
			apps = p.todos.apps()
		}
		if apps == nil {
			apps = p.todos.apps() // it asks for a password that nobody has
		}
		if apps == nil {
			next.ServeHTTP(w, r)
			return
		}
		apps.ServeHTTP(w, r.WithContext(gate.WithAddress(r.Context(), p.front.client(r).Address)))
	})
}

// healthFirst answers whether the server lives and whether it is ready.
func (p *places) healthFirst(next http.Handler) http.Handler { return healthFirst(next, p.notReady) }

// notReady says why the server is not ready; empty where it is.
func (p *places) notReady(r *http.Request) string {
	if _, err := p.Records.Version(r.Context()); err != nil {
		return wording.TheRecordsCannotBeRead
	}
	list := p.list()
	if len(list) == 0 {
		return wording.ThePlacesWereNotReadYet
	}
	failing := false
	for _, at := range list {
		if at.outlook.Load() == nil && at.failing.Load() == nil {
			return wording.NotEveryPlaceHasAPlanYet
		}
		failing = failing || at.failing.Load() != nil
	}
	if failing {
		return wording.PlanOfAPlaceFails
	}
	return ""
}

// complain logs why a place could not be worked out.
func (p *places) complain(ctx context.Context, at *placeAtWork, err error) {
	if ctx.Err() == nil {
		p.front.log.LogAttrs(ctx, slog.LevelError, "the plan of a place could not be made anew", slog.String("place", at.id), slog.Any("error", err))
	}
}
