package web

import (
	"bytes"
	"context"
	"net/http"
	"sync"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/locale"
	"limekeep/cmd/limekeep/web/packing"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/schedule/day"
)

// keptPages are pages as they were put together last. Whoever asks for one again gets
// the same as long as what pages are made from is the same, but for the tokens of its
// forms, which are drawn anew for each visit.
type keptPages struct {
	mu    sync.Mutex
	from  madeFrom
	pages map[keptKey]*keptPage
	bytes int // that they hold together
}

// madeFrom is all that pages show, but for what a request asks.
type madeFrom struct {
	edition  *edition
	forecast *day.Forecast
	version  int64 // of the records
}

// keptKey is what a request asks, as far as it changes what is shown.
type keptKey struct {
	asked    string // path and query
	signedIn bool
	role     roles.Role
	reader   locale.Reader // of dates and numbers
}

// keptPage is a page, once ready is closed.
type keptPage struct {
	ready  chan struct{}
	whole  bool // whether it is one that can be sent again
	header http.Header
	body   packing.Body
}

// Bounds on what is kept. A household looks at a dozen pages.
const (
	mostKeptPages = 64
	mostKeptBytes = 8 << 20
)

// madeFrom returns what pages are made from now; false where that is not known
// beforehand, since the publisher has nothing at hand.
func (p *publisher) madeFrom(ctx context.Context) (madeFrom, bool) {
	if !p.watched.Load() || p.failing.Load() {
		return madeFrom{}, false
	}
	version, err := p.Days.Records.Version(ctx)
	b := p.now.Load()
	if err != nil || b == nil || b.agenda.Today != p.today(b) {
		return madeFrom{}, false
	}
	return madeFrom{b, b.forecast.Load(), version}, true
}

// place returns the place of a page among those kept, and whether it is for the caller
// to fill. What was made from something else is dropped.
func (k *keptPages) place(from madeFrom, key keptKey) (*keptPage, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.from != from || len(k.pages) >= mostKeptPages || k.bytes >= mostKeptBytes {
		k.from, k.pages, k.bytes = from, map[keptKey]*keptPage{}, 0
	}
	if kept, ok := k.pages[key]; ok {
		return kept, false
	}
	kept := &keptPage{ready: make(chan struct{})}
	k.pages[key] = kept
	return kept, true
}

// weigh counts what a page holds.
func (k *keptPages) weigh(bytes int) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.bytes += bytes
}

// kept keeps a page that is a matter of the records, the forecast and the address
// alone, so that it is put together once for all who ask. One that tells of what was
// just written down is not kept, and none is where also says that it shows more.
func (h *handler) kept(page http.HandlerFunc, also func(*http.Request) (bool, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		from, known := h.publisher.madeFrom(r.Context())
		more := false
		if also != nil && known {
			var err error
			if more, err = also(r); err != nil {
				h.fail(w, r, err)
				return
			}
		}
		if !known || more || r.URL.Query().Has("written") {
			page(w, r)
			return
		}
		kept, mine := h.keptPages.place(from, keptKey{r.URL.RequestURI(), answeringOf(r.Context()).signedIn, role(r.Context()), locale.For(r)})
		if mine {
			h.fill(kept, page, r)
		}
		select {
		case <-kept.ready:
		case <-r.Context().Done():
			return
		}
		if !kept.whole {
			page(w, r)
			return
		}
		for name, values := range kept.header {
			w.Header()[name] = values
		}
		body := kept.body.Renewed
		if packing.TakesGzip(r.Header.Get("Accept-Encoding")) && r.Method != http.MethodHead {
			w.Header().Set("Content-Encoding", "gzip")
			body = kept.body.RenewedPacked
		}
		_, _ = w.Write(body(h.tokens.Draw)) // a browser that has gone misses nothing
	}
}

// fill puts a page together. Where that breaks down nobody is left waiting.
func (h *handler) fill(kept *keptPage, page http.HandlerFunc, r *http.Request) {
	defer close(kept.ready)
	into := &pageBuffer{header: http.Header{}}
	page(into, r)
	if into.status != 0 && into.status != http.StatusOK || r.Context().Err() != nil {
		return
	}
	body, err := packing.NewBody(into.body.Bytes(), form.TokenInput)
	if err != nil {
		return
	}
	kept.header, kept.body, kept.whole = into.header, body, true
	h.keptPages.weigh(body.Size())
}

// pageBuffer takes a page in the place of a connection.
type pageBuffer struct {
	header http.Header
	status int // 0 for none that was named
	body   bytes.Buffer
}

func (b *pageBuffer) Header() http.Header { return b.header }

func (b *pageBuffer) WriteHeader(status int) { b.status = status }

func (b *pageBuffer) Write(data []byte) (int, error) { return b.body.Write(data) }
