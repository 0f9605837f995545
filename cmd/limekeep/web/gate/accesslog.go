package gate

import (
	"context"
	"crypto/rand"
	"log/slog"
	"net/http"
	"strings"
	"time"
)

type requestIDKey struct{}

// requestIDHeader tells a request apart in the logs of a server in front and in ours.
const requestIDHeader = "X-Request-Id"

// WithRequestIDs returns a log handler that adds to each line the request it is about.
func WithRequestIDs(next slog.Handler) slog.Handler { return requestIDs{next} }

type requestIDs struct{ slog.Handler }

// Handle adds the request's id.
func (h requestIDs) Handle(ctx context.Context, line slog.Record) error {
	if id, ok := ctx.Value(requestIDKey{}).(string); ok {
		line.AddAttrs(slog.String("request", id))
	}
	return h.Handler.Handle(ctx, line)
}

// WithAttrs returns the handler with attributes that every line gets.
func (h requestIDs) WithAttrs(attrs []slog.Attr) slog.Handler {
	return requestIDs{h.Handler.WithAttrs(attrs)}
}

// WithGroup returns the handler with a group that what follows is in.
func (h requestIDs) WithGroup(name string) slog.Handler {
	return requestIDs{h.Handler.WithGroup(name)}
}

// AccessLog gives each request an id, and logs and counts it once it is answered: by
// the pattern of its address, since the address itself may hold a secret.
type AccessLog struct {
	Log     *slog.Logger
	Metrics *Metrics
	Clients Clients
	// AppsPrefix is where addresses begin that have no pattern and are counted as one.
	AppsPrefix string
}

// Around returns a handler whose requests are logged and counted.
func (l AccessLog) Around(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		id := l.requestID(r)
		w.Header().Set(requestIDHeader, id)
		began := time.Now()
		sent := &sentAnswer{ResponseWriter: w}
		seen := r.WithContext(context.WithValue(r.Context(), requestIDKey{}, id))
		next.ServeHTTP(sent, seen)
		took := time.Since(began)
		where := l.whereOf(seen)
		l.Metrics.count(where, sent.code(), took)
		if l.Log.Enabled(seen.Context(), slog.LevelInfo) {
			l.Log.InfoContext(seen.Context(), "answered", "method", plainMethod(r.Method), "page", where, "status", sent.code(), "bytes", sent.bytes, "took", took.Round(time.Microsecond), "address", l.Clients.Of(r).Address)
		}
	})
}

// requestID returns the id that a trusted server in front gave, else a new one.
func (l AccessLog) requestID(r *http.Request) string {
	if given := r.Header.Get(requestIDHeader); given != "" && len(given) <= 64 && l.Clients.trusted(peerOf(r)) && strings.Trim(given, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.") == "" {
		return given
	}
	return rand.Text()[:12]
}

// whereOf says what a request was about, without what its address holds.
func (l AccessLog) whereOf(r *http.Request) string {
	switch {
	case r.Pattern != "":
		_, pattern, ok := strings.Cut(r.Pattern, " ")
		if !ok {
			return r.Pattern
		}
		return pattern
	case r.URL.Path == l.AppsPrefix || strings.HasPrefix(r.URL.Path, l.AppsPrefix+"/"):
		return l.AppsPrefix
	}
	return "other"
}

// plainMethod returns a method that can stand in a log.
func plainMethod(method string) string {
	switch method {
	case "GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PROPFIND", "PROPPATCH", "REPORT":
		return method
	}
	return "other"
}

// sentAnswer watches what is sent.
type sentAnswer struct {
	http.ResponseWriter
	status int
	bytes  int64
}

// WriteHeader notes the status.
func (s *sentAnswer) WriteHeader(status int) {
	if s.status == 0 {
		s.status = status
	}
	s.ResponseWriter.WriteHeader(status)
}

// Write counts what is sent.
func (s *sentAnswer) Write(data []byte) (int, error) {
	if s.status == 0 {
		s.status = http.StatusOK
	}
	n, err := s.ResponseWriter.Write(data)
	s.bytes += int64(n)
	return n, err
}

// Unwrap returns the writer beneath, for http.ResponseController.
func (s *sentAnswer) Unwrap() http.ResponseWriter { return s.ResponseWriter }

func (s *sentAnswer) code() int {
	if s.status == 0 {
		return http.StatusOK
	}
	return s.status
}
