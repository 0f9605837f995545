package packing

import (
	"compress/gzip"
	"net/http"
	"strings"
	"sync"
)

// leastPacked is the size of an answer below which packing it gains nothing: it fits
// into the first packet as it is.
const leastPacked = 1200

// level is how hard pages are packed. Level 5 costs about half of what the highest
// does and leaves pages a few per cent larger.
const level = 5

// packers are compressors between two answers.
var packers = sync.Pool{New: func() any {
	z, err := gzip.NewWriterLevel(nil, level)
	if err != nil {
		panic(err) // the level is one there is
	}
	return z
}}

// Answers returns a handler that sends pages and figures packed to whoever takes that
// (RFC 9110, 8.4.1.3). Paths of which showsSecret says that they show one go out as
// they are: of a packed page the size could tell what stands in it to somebody who sees
// the wire and can have it asked for.
func Answers(next http.Handler, showsSecret func(path string) bool) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if showsSecret(r.URL.Path) {
			next.ServeHTTP(w, r)
			return
		}
		w.Header().Add("Vary", "Accept-Encoding")
		if !TakesGzip(r.Header.Get("Accept-Encoding")) || r.Method == http.MethodHead || r.Header.Get("Range") != "" {
			next.ServeHTTP(w, r)
			return
		}
		p := &answer{ResponseWriter: w}
		next.ServeHTTP(p, r)
		p.end()
	})
}

// answer packs what is written, once there is enough of it.
type answer struct {
	http.ResponseWriter
	status int
	held   []byte
	z      *gzip.Writer
	plain  bool // it goes out as it is
}

// WriteHeader keeps the status until it is known how the answer goes out.
func (p *answer) WriteHeader(status int) {
	if p.status == 0 {
		p.status = status
	}
}

func (p *answer) Write(data []byte) (int, error) {
	switch {
	case p.plain:
		return p.ResponseWriter.Write(data)
	case p.z != nil:
		return p.z.Write(data)
	}
	p.held = append(p.held, data...)
	if len(p.held) < leastPacked {
		return len(data), nil
	}
	if err := p.begin(); err != nil {
		return 0, err
	}
	return len(data), nil
}

// begin sends what was held back, packed where its kind can be.
func (p *answer) begin() error {
	h := p.Header()
	if p.status == 0 {
		p.status = http.StatusOK
	}
	p.plain = len(p.held) < leastPacked || h.Get("Content-Encoding") != "" || h.Get("Content-Range") != "" || !text(h.Get("Content-Type"))
	if p.plain {
		p.ResponseWriter.WriteHeader(p.status)
		_, err := p.ResponseWriter.Write(p.held)
		return err
	}
	h.Set("Content-Encoding", "gzip")
	h.Del("Content-Length")
	if tag := h.Get("ETag"); tag != "" && !strings.HasPrefix(tag, "W/") {
		h.Set("ETag", "W/"+tag) // the same, in other bytes
	}
	p.ResponseWriter.WriteHeader(p.status)
	p.z = packers.Get().(*gzip.Writer)
	p.z.Reset(p.ResponseWriter)
	_, err := p.z.Write(p.held)
	return err
}

// end sends the rest.
func (p *answer) end() {
	if p.z != nil {
		_ = p.z.Close() // whoever asked is gone, or the connection tells
		packers.Put(p.z)
		return
	}
	if p.plain {
		return
	}
	if len(p.held) > 0 {
		_ = p.begin()
		return
	}
	if p.status != 0 {
		p.ResponseWriter.WriteHeader(p.status)
	}
}

// text reports whether a kind of content is one that packing shortens.
func text(kind string) bool {
	kind, _, _ = strings.Cut(kind, ";")
	return strings.HasPrefix(kind, "text/") || strings.HasSuffix(kind, "json") || strings.HasSuffix(kind, "+xml")
}
