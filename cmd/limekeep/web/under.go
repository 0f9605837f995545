package web

import (
	"bytes"
	"net/http"
	"slices"
	"strings"
)

// Where one server has several places, the pages of each lie below an address of their
// own. They are written as if there were no other: their links and the addresses that
// forms lead to are put below it as they go out, so that no page can forget to.

// atPath is where the addresses of places begin.
const atPath = "/at/"

// Under returns where the pages of a place lie in a server of several, for Server.Under.
func Under(place string) string { return atPath + place }

// sharedPaths are addresses that all places have in common: what is below them is asked
// for at the root.
var sharedPaths = []string{"/static/", signInPath, signOutPath, setPasswordPath, atPath, placesPath, roundPath, vanPath, peoplePath, invitedPath}

// shared reports whether an address belongs to no place.
func shared(path string) bool {
	return slices.ContainsFunc(sharedPaths, func(start string) bool {
		return path == start || strings.HasPrefix(path, strings.TrimSuffix(start, "/")+"/") || strings.HasPrefix(path, start+"?")
	})
}

// below returns an address of the pages as it is asked for from outside.
func (s *Server) below(address string) string {
	if s.Under == "" || !strings.HasPrefix(address, "/") || strings.HasPrefix(address, "//") || shared(address) {
		return address
	}
	return s.Under + address
}

// leading are the attributes that lead somewhere; pages have their values in double
// quotes, and texts in them cannot hold one.
var leading = [][]byte{[]byte(` href="/`), []byte(` action="/`), []byte(` formaction="/`)}

// putBelow puts the links of a page below where its place lies.
func (s *Server) putBelow(page []byte) []byte {
	if s.Under == "" {
		return page
	}
	out := make([]byte, 0, len(page)+len(page)/16)
	for {
		at, attribute := len(page), []byte(nil)
		for _, a := range leading {
			if i := bytes.Index(page[:at], a); i >= 0 {
				at, attribute = i, a
			}
		}
		if attribute == nil {
			return append(out, page...)
		}
		start := at + len(attribute) - 1
		end := start + bytes.IndexByte(page[start:], '"')
		if end < start {
			return append(out, page...)
		}
		out = append(out, page[:start]...)
		out = append(out, s.below(string(page[start:end]))...)
		page = page[end:]
	}
}

// leadBelow puts where answers lead to below where the place lies.
func (s *Server) leadBelow(next http.Handler) http.Handler {
	if s.Under == "" {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		next.ServeHTTP(&leadingAnswer{ResponseWriter: w, server: s}, r)
	})
}

// leadingAnswer is an answer that may lead elsewhere.
type leadingAnswer struct {
	http.ResponseWriter
	server *Server
}

// WriteHeader puts the address below.
func (a *leadingAnswer) WriteHeader(status int) {
	if to := a.Header().Get("Location"); to != "" {
		a.Header().Set("Location", a.server.below(to))
	}
	a.ResponseWriter.WriteHeader(status)
}

// Unwrap returns the writer beneath, for http.ResponseController.
func (a *leadingAnswer) Unwrap() http.ResponseWriter { return a.ResponseWriter }
