package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
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
	server := &http.Server{ReadHeaderTimeout: 10 * time.Second, IdleTimeout: time.Minute,
		Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Connection", "close") // what comes next is answered by the pages of the place
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
	patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	if err := server.Shutdown(patience); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	if err := <-failed; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	if err := listener.open(); err != nil {
		return err
	}
	return context.Cause(ctx)
}

// keptListener is a listener whose closing stops the accepting alone.
type keptListener struct{ net.Listener }

// deadliner is what listeners of sockets can do.
type deadliner interface{ SetDeadline(t time.Time) error }

// Close ends what waits to accept.
func (k *keptListener) Close() error {
	if l, ok := k.Listener.(deadliner); ok {
		return l.SetDeadline(time.Unix(1, 0))
	}
	return k.Listener.Close()
}

// open lets the listener accept again.
func (k *keptListener) open() error {
	if l, ok := k.Listener.(deadliner); ok {
		return l.SetDeadline(time.Time{})
	}
	return nil
}
