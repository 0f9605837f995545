package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"limekeep/cmd/limekeep/web"
	"limekeep/cmd/limekeep/web/api"
	"limekeep/schedule"
	"limekeep/schedule/interview"
)

// awaitPlace asks on the pages about the machine while no place is set up, until one
// is: by the pages, or by a command meanwhile. The listener stays open for what is
// served then.
func (a *app) awaitPlace(ctx context.Context, out io.Writer, h *house, m schedule.Moment, plain net.Listener, log *slog.Logger) error {
	if places, err := h.days.Records.Places(ctx); err != nil || len(places) > 0 {
		return err
	}
	there, done := context.WithCancel(ctx)
	defer done()
	hosts, _, err := allowedHosts(plain, "")
	if err != nil {
		return err
	}
	pages := &web.FirstDay{
		Catalogue: h.days.Catalogue, Now: time.Now, Today: m.Today, Zone: ownZone(), AllowedHosts: hosts, Log: log,
		Start: func(ctx context.Context, told interview.Told) error {
			if places, err := h.days.Records.Places(ctx); err != nil || len(places) > 0 {
				return err // by a command, meanwhile
			}
			_, err := h.setUp().Start(ctx, m.Today, told)
			return err
		},
		Programs: &api.SetUp{Days: h.days, Journal: h.journal.From("program")},
	}
	answers := pages.Handler()
	listener := &keptListener{Listener: plain}
	var answering sync.RWMutex // read while a question is answered
	server := &http.Server{ReadHeaderTimeout: 10 * time.Second, IdleTimeout: time.Minute,
		Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Connection", "close") // what comes next is answered by the pages of the place
			answering.RLock()
			defer answering.RUnlock()
			if there.Err() != nil {
				askAgain(w, r)
				return
			}
			answers.ServeHTTP(w, r)
			if places, err := h.days.Records.Places(r.Context()); err == nil && len(places) > 0 {
				done()
			}
		})}
	fmt.Fprintf(out, "no place is set up yet: open http://%s%s and answer some questions, or run `limekeep setup` and start again\n", shownAddress(plain), "/setup")
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	select {
	case err := <-failed:
		return err
	case <-there.Done():
	}
	// Nobody is cut off: a browser may have a connection open that it has not asked on yet.
	// Those are answered by askAgain until they end by themselves.
	if err := listener.stop(); err != nil {
		return err
	}
	if err := <-failed; !errors.Is(err, net.ErrClosed) {
		return err
	}
	answered := make(chan struct{})
	go func() {
		answering.Lock()
		defer answering.Unlock()
		close(answered)
	}()
	select {
	case <-answered:
	case <-time.After(5 * time.Second):
	}
	if ctx.Err() != nil {
		_ = server.Close()
		return context.Cause(ctx)
	}
	return listener.open()
}

// askAgain sends whoever asks on an old connection to the same address on a new one, where
// the pages of the place answer.
func askAgain(w http.ResponseWriter, r *http.Request) {
	path := "/" + strings.TrimLeft(r.URL.EscapedPath(), "/\\") // never the name of another host
	if r.URL.RawQuery != "" {
		path += "?" + r.URL.RawQuery
	}
	http.Redirect(w, r, path, http.StatusTemporaryRedirect)
}

// keptListener is a listener whose accepting can be stopped and taken up again by another
// server, with those who wait to be accepted.
type keptListener struct {
	net.Listener
	stopped atomic.Bool
}

// deadliner is what listeners of sockets can do.
type deadliner interface{ SetDeadline(t time.Time) error }

// Accept waits for a connection. Once stopped it returns net.ErrClosed.
func (k *keptListener) Accept() (net.Conn, error) {
	conn, err := k.Listener.Accept()
	if err != nil && k.stopped.Load() {
		return nil, net.ErrClosed
	}
	return conn, err
}

// Close leaves a stopped listener open.
func (k *keptListener) Close() error {
	if k.stopped.Load() {
		return nil
	}
	return k.Listener.Close()
}

// stop ends what waits to accept.
func (k *keptListener) stop() error {
	k.stopped.Store(true)
	if l, ok := k.Listener.(deadliner); ok {
		return l.SetDeadline(time.Unix(1, 0))
	}
	return k.Listener.Close()
}

// open lets the next server accept.
func (k *keptListener) open() error {
	if l, ok := k.Listener.(deadliner); ok {
		return l.SetDeadline(time.Time{})
	}
	return nil
}
