package web

import (
	"net/http"

	"limekeep/cmd/limekeep/web/wording"
)

const (
	healthPath = "/healthz"
	readyPath  = "/readyz"
)

// healthFirst answers whether the server lives and whether it is ready, to whoever asks
// under whatever name: supervisors ask by address and carry no password. It tells
// nothing else.
func (h *handler) healthFirst(next http.Handler) http.Handler { return healthFirst(next, h.notReady) }

// healthFirst does so where notReady says what keeps a server from being ready.
func healthFirst(next http.Handler, notReady func(*http.Request) string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			next.ServeHTTP(w, r)
			return
		}
		switch r.URL.Path {
		case healthPath:
			r.Pattern = healthPath
			sayHealth(w, "")
		case readyPath:
			r.Pattern = readyPath
			sayHealth(w, notReady(r))
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// notReady says why the server is not ready; empty where it is.
func (h *handler) notReady(r *http.Request) string {
	switch _, err := h.Days.Records.Version(r.Context()); {
	case err != nil:
		return wording.TheRecordsCannotBeRead
	case h.publisher.now.Load() == nil:
		return wording.NoPlanYet
	case h.publisher.failing.Load():
		return wording.PlanFails
	}
	return ""
}

func sayHealth(w http.ResponseWriter, wrong string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	if wrong != "" {
		http.Error(w, wrong, http.StatusServiceUnavailable)
		return
	}
	_, _ = w.Write([]byte("ok\n"))
}
