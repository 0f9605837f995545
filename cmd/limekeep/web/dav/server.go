package dav

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"strings"
	"sync/atomic"
)

// Server answers task apps for one collection of to-dos. Its fields are set
// before Handler is called and stay as they are.
type Server struct {
	Collection Collection

	Prefix string // where the addresses begin; /dav where empty
	User   string // id of the place, a path segment of a-z, 0-9 and -

	// Authenticate looks up a name and password as an app sends them (RFC 7617)
	// and returns the name of that app's password, which Collection is told. Its
	// error means that the look-up itself went wrong.
	Authenticate func(ctx context.Context, user, password string) (app string, ok bool, err error)

	Log *slog.Logger // of what went wrong; nothing is logged where nil
}

// wellKnown is where apps look first (RFC 6764, 5).
const wellKnown = "/.well-known/caldav"

// compliance is what the DAV header claims (RFC 4918, 10.1; RFC 4791, 5.1).
const compliance = "1, 3, calendar-access"

// Handler returns the whole layer, to be served at /.well-known/caldav, at the
// prefix and at everything below it. It may also be given PROPFIND and OPTIONS
// of the root, where some apps look for the principal.
func (s *Server) Handler() http.Handler {
	prefix := s.Prefix
	if prefix == "" {
		prefix = "/dav"
	}
	d := &handler{Server: s, log: s.Log, paths: newPaths(prefix, s.User), zones: &zones{}}
	if d.log == nil {
		d.log = slog.New(slog.DiscardHandler)
	}
	return http.HandlerFunc(d.serve)
}

// handler is a server at work.
type handler struct {
	*Server
	log   *slog.Logger
	paths paths
	zones *zones
	kept  atomic.Pointer[rendered]
}

// request is a request of an app that was let in.
type request struct {
	*http.Request
	app string
	to  target
}

func (h *handler) serve(w http.ResponseWriter, r *http.Request) {
	if strings.TrimSuffix(r.URL.Path, "/") == wellKnown {
		// 307 keeps the method with every client; RFC 6764, 5 names it; 308
		// is younger than many apps.
		w.Header().Set("Location", h.paths.root)
		w.WriteHeader(http.StatusTemporaryRedirect)
		return
	}
	to := h.paths.find(r.URL.EscapedPath())
	w.Header().Set("DAV", compliance)
	if r.Method == http.MethodOptions {
		// An answer without a password must not tell what exists.
		w.Header().Set("Allow", allowed(to.kind))
		w.WriteHeader(http.StatusNoContent)
		return
	}
	app, ok := h.authenticate(w, r)
	if !ok {
		return
	}
	if err := h.answer(w, &request{Request: r, app: app, to: to}); err != nil {
		h.fail(w, r, err)
	}
}

// answer answers by method.
func (h *handler) answer(w http.ResponseWriter, r *request) error {
	switch r.Method {
	case http.MethodGet, http.MethodHead:
		return h.get(w, r)
	case http.MethodPut:
		return h.put(w, r)
	case http.MethodDelete:
		return h.delete(w, r)
	case "PROPFIND":
		return h.propfind(w, r)
	case "REPORT":
		return h.report(w, r)
	case "PROPPATCH":
		return h.proppatch(w, r)
	case "MKCOL", "MKCALENDAR":
		return h.makeCollection(w, r)
	case "COPY", "MOVE":
		return h.copyMove(w, r)
	}
	return notAllowed(w, r.to.kind)
}

// allowed lists the methods that do something at an address.
func allowed(k kind) string {
	switch k {
	case object:
		return "OPTIONS, GET, HEAD, PUT, DELETE, PROPFIND, PROPPATCH, REPORT"
	case collection:
		return "OPTIONS, PROPFIND, PROPPATCH, REPORT"
	case nothing:
		return "OPTIONS"
	}
	return "OPTIONS, PROPFIND, PROPPATCH"
}

// notAllowed refuses a method with status 405, or 404 where nothing is.
func notAllowed(w http.ResponseWriter, k kind) error {
	if k == nothing {
		return errNotThere
	}
	w.Header().Set("Allow", allowed(k))
	return &failure{http.StatusMethodNotAllowed, "This address is for task apps, which ask here for to-dos: give it to one, with an app password."}
}

// fail answers with what went wrong.
func (h *handler) fail(w http.ResponseWriter, r *http.Request, err error) {
	var (
		more    *elaborated
		refused *Refusal
		failed  *failure
		tooBig  *http.MaxBytesError
	)
	switch {
	case errors.As(err, &more):
		answerRefusal(w, more.Refusal, more.inside)
	case errors.As(err, &refused):
		answerRefusal(w, refused, "")
	case errors.Is(err, errPrecondition):
		http.Error(w, err.Error(), http.StatusPreconditionFailed)
	case errors.Is(err, errNotThere):
		http.Error(w, err.Error(), http.StatusNotFound)
	case errors.As(err, &failed):
		http.Error(w, failed.why, failed.status)
	case errors.As(err, &tooBig):
		http.Error(w, "The request is larger than this server reads.", http.StatusRequestEntityTooLarge)
	case r.Context().Err() != nil:
		// The app hung up, or the server goes down: nobody reads the answer.
		http.Error(w, "The request was given up.", http.StatusServiceUnavailable)
	default:
		h.log.Error("a task app was not answered", "method", r.Method, "path", r.URL.Path, "error", err)
		http.Error(w, "Something went wrong here; the log says what.", http.StatusInternalServerError)
	}
}
