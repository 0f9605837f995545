package web_test

import (
	"net/http"
	"net/http/httptest"
	"strconv"
	"testing"

	"limekeep/cmd/limekeep/web"
)

// silent takes an answer and keeps nothing of it but its headers.
type silent struct{ header http.Header }

func (s *silent) Header() http.Header         { return s.header }
func (s *silent) Write(b []byte) (int, error) { return len(b), nil }
func (s *silent) WriteHeader(int)             {}

// BenchmarkFeed is what a fetch of the calendar costs beside the network: one
// that finds nothing new, and one that gets all of it packed.
func BenchmarkFeed(b *testing.B) {
	desk, _ := kitchen(b)
	s := &web.Server{Days: desk.Opener, Journal: desk.Journal, Publisher: desk.Publisher, Secret: sameSecret, AllowedHosts: []string{"127.0.0.1:8321", "localhost:8321", "example.com"}}
	h := s.Handler()
	stop := watch(b, s)
	defer stop()
	first := httptest.NewRecorder()
	h.ServeHTTP(first, get(feed, "Accept-Encoding", "gzip"))
	for _, c := range []struct {
		name    string
		request *http.Request
	}{
		{"304", get(feed, "Accept-Encoding", "gzip", "If-None-Match", first.Header().Get("ETag"))},
		{"200", get(feed, "Accept-Encoding", "gzip")},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			w := &silent{header: http.Header{}}
			for b.Loop() {
				clear(w.header)
				h.ServeHTTP(w, c.request)
			}
		})
	}
}

// BenchmarkPages is what a page costs the server beside the network: one that is kept as
// it was, and one that is put together anew from the last forecast, as right after
// something was written down.
func BenchmarkPages(b *testing.B) {
	desk, _ := kitchen(b)
	s := &web.Server{Days: desk.Opener, Journal: desk.Journal, Publisher: desk.Publisher, Secret: sameSecret}
	h := s.Handler()
	stop := watch(b, s)
	defer stop()
	for _, path := range []string{"/", "/plan", "/equipment/bench", "/tasks/bench/descale/steam", "/water", "/history"} {
		h.ServeHTTP(httptest.NewRecorder(), get(path, "Accept-Encoding", "gzip"))
		for _, anew := range []bool{false, true} {
			name := path + " kept"
			if anew {
				name = path + " anew"
			}
			b.Run(name, func(b *testing.B) {
				b.ReportAllocs()
				w := &silent{header: http.Header{}}
				for n := 0; b.Loop(); n++ {
					clear(w.header)
					asked := path
					if anew { // a question that was not asked before
						asked += "?n=" + strconv.Itoa(n)
					}
					h.ServeHTTP(w, get(asked, "Accept-Encoding", "gzip"))
				}
			})
		}
	}
}
