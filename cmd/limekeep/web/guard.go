package web

import (
	"net"
	"net/http"
	"runtime/debug"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/web/gate"
	"limekeep/cmd/limekeep/web/wording"
)

// contentPolicy lets a page load from this server only, run no script but those that
// come with the program, and stand in no frame (W3C Content Security Policy Level 3).
const contentPolicy = "default-src 'self'; script-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// guards stand before the pages of a handler.
type guards struct{ *handler }

// guard puts around a handler what every request needs: an end to panics, the
// headers that keep browsers strict, the check of the host's name, and the refusal
// of forms sent from foreign pages.
func (h guards) guard(next http.Handler) http.Handler {
	next = feeds(h).feedsFirst(h.guardPages(next))
	next = h.healthFirst(next)
	log := gate.AccessLog{Log: h.log, Metrics: h.publisher.metrics, Clients: h.clients(), AppsPrefix: davPrefix}
	return log.Around(closeAfterChunks(h.survivePanics(next)))
}

// guardPages keeps browsers strict, checks the host's name and refuses forms from
// foreign pages.
func (h guards) guardPages(next http.Handler) http.Handler {
	foreign := http.NewCrossOriginProtection()
	foreign.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h.message(w, r, http.StatusForbidden, wording.NotTaken, wording.FormFromAnotherSite)
	}))
	next = foreign.Handler(next)
	next = h.onlyPlainBodies(next)
	next = h.onlyAllowedHosts(next)
	return strictHeaders(next)
}

// onlyPlainBodies refuses what was sent packed: nothing here unpacks it, so that a small
// request cannot become a large one.
func (h guards) onlyPlainBodies(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if coding := r.Header.Get("Content-Encoding"); coding != "" && !strings.EqualFold(coding, "identity") {
			h.message(w, r, http.StatusUnsupportedMediaType, wording.NotTaken, wording.SendWithoutCoding)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// closeAfterChunks ends the connection with the answer to a request that came in chunks: it may
// have had a length as well, which the library drops, and a server in front may have seen its
// end elsewhere (RFC 9112, 6.1).
func closeAfterChunks(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if len(r.TransferEncoding) > 0 {
			w.Header().Set("Connection", "close")
		}
		next.ServeHTTP(w, r)
	})
}

func limitedBody(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, max(mostBodyBytes, mostUploadBytes(r)))
		next.ServeHTTP(w, r)
	})
}

func strictHeaders(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		// Other sites learn no address of ours, since one holds a secret. Not
		// "no-referrer": a browser then sends our own forms with the origin
		// "null" (WHATWG Fetch, append a request Origin header), and over plain
		// HTTP in a home network they could not be told from foreign ones.
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}

func (h guards) onlyAllowedHosts(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !h.allowed(r.Host) {
			http.Error(w, wording.HostNotAnswered, http.StatusMisdirectedRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// allowed reports whether a request may ask for a host.
func (h *handler) allowed(host string) bool {
	return len(h.hosts) == 0 || h.AnyAddress && net.ParseIP(gate.PlainHost(withoutPort(host))) != nil || slices.Contains(h.hosts, host) || slices.Contains(h.hosts, gate.PlainHost(host)) || slices.Contains(h.hosts, gate.PlainHost(withoutPort(host)))
}

func withoutPort(host string) string {
	if name, _, err := net.SplitHostPort(host); err == nil {
		return name
	}
	return host
}

// survivePanics turns a panic into status 500 and a line in the log. The
// pattern is logged, never the path: one path holds the calendar's secret.
func (h guards) survivePanics(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			what := recover()
			if what == nil {
				return
			}
			if what == http.ErrAbortHandler { //nolint:errorlint // what was panicked with is that value itself
				panic(what) // how a handler asks for the connection to be dropped
			}
			h.log.ErrorContext(r.Context(), "a page broke down", "page", r.Pattern, "panic", what, "stack", string(debug.Stack()))
			http.Error(w, wording.PageBrokeDown, http.StatusInternalServerError)
		}()
		next.ServeHTTP(w, r)
	})
}
