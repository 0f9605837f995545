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

	"github.com/robfig/cron/v3"
	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
)

// preferredAddress is where the pages are served unless it is taken.
const preferredAddress = "127.0.0.1:8321"

// replanAt is when the plan is made anew each night, on the place's clock.
const replanAt = "10 3 * * *"

func newServe(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Serve the pages and the calendar until stopped",
		Long: `Serves a page that shows what is due, forms to write tests and services down, and a calendar
to subscribe to. The plan is made anew every night. Whoever reaches the address can read and
write: it listens on this computer alone unless --listen says otherwise, and then belongs
behind a server that asks for a password and speaks TLS.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			m, err := a.moment()
			if err != nil {
				return err
			}
			h, err := a.open(cmd.Context(), "page")
			if err != nil {
				return err
			}
			defer h.db.Close()
			listener, err := listen(cmd.Context(), a.settings.GetString("listen"), cmd.Flags().Changed("listen"))
			if err != nil {
				return err
			}
			return a.serve(cmd.Context(), cmd.OutOrStdout(), h, m, listener)
		},
	}
	cmd.Flags().String("listen", preferredAddress, "address and port to listen on")
	cmd.Flags().Bool("take-todos", false, "make to-dos that task apps create tasks of your own")
	baseFlag(cmd)
	return cmd
}

// listen opens the address. When the preferred one is taken and nobody asked
// for it by name, any free port of this computer serves.
func listen(ctx context.Context, address string, asked bool) (net.Listener, error) {
	var config net.ListenConfig
	listener, err := config.Listen(ctx, "tcp", address)
	if err != nil && !asked && address == preferredAddress {
		listener, err = config.Listen(ctx, "tcp", "127.0.0.1:0")
	}
	if err != nil {
		return nil, fmt.Errorf("--listen: %s cannot be listened on; give a free address such as 127.0.0.1:8322: %w", address, err)
	}
	return listener, nil
}

// serve runs the pages and the nightly plan until the context ends.
func (a *app) serve(ctx context.Context, out io.Writer, h *house, m schedule.Moment, listener net.Listener) error {
	db := h.db
	d, err := h.days.Open(ctx, m)
	if err != nil {
		listener.Close()
		return err
	}
	m.Place = d.Place.ID // the day stays open, so that a server that runs for weeks moves with the calendar
	log := slog.New(slog.NewTextHandler(out, &slog.HandlerOptions{Level: slog.LevelWarn}))
	base := a.settings.GetString("base")
	pages := &web.Server{
		Days:      h.days,
		Journal:   h.journal,
		Publisher: h.publisher,
		SyncStore: db,
		Secret:    func(ctx context.Context) (string, error) { return db.Secret(ctx, m.Place) },
		NewSecret: func(ctx context.Context) (string, error) { return db.ReplaceSecret(ctx, m.Place) },
		Apps:      appPasswords{db, m.Place},
		CheckPassword: func(ctx context.Context, password string) (string, bool, error) {
			return db.CheckPassword(ctx, m.Place, password)
		},
		Log:       log,
		Place:     m.Place,
		Today:     m.Today,
		BaseURL:   base, // left empty, the pages name the host they were asked for
		OwnURL:    "http://" + shownAddress(listener),
		TakeTodos: a.settings.GetBool("take-todos"),
	}
	nightly, err := startNightly(d.Zone, func() {
		if err := pages.Renew(ctx); err != nil && ctx.Err() == nil {
			log.Error("the plan could not be made anew", "error", err)
		}
	})
	if err != nil {
		listener.Close()
		return err
	}
	defer nightly.Stop()
	hosts, err := allowedHosts(listener, base)
	if err != nil {
		listener.Close()
		return err
	}
	pages.AllowedHosts = hosts
	server := &http.Server{Handler: pages.Handler(), ReadHeaderTimeout: 10 * time.Second, IdleTimeout: time.Minute}
	secret, err := db.Secret(ctx, m.Place)
	if err != nil {
		listener.Close()
		return err
	}
	if base == "" {
		base = "http://" + shownAddress(listener)
	}
	if err := db.SetServedAddress(ctx, m.Place, base); err != nil { // for the commands that tell addresses
		listener.Close()
		return err
	}
	if err := pages.Renew(ctx); err != nil { // the pages can still be used to put right what is wrong
		log.Error("the plan could not be made", "error", err)
	}
	watch, unwatch := context.WithCancel(ctx)
	watching := make(chan struct{})
	go func() {
		defer close(watching)
		pages.Watch(watch)
	}()
	defer func() {
		unwatch()
		<-watching // it may be writing
	}()
	fmt.Fprintf(out, "pages:     %s/\ncalendar:  %s/calendar/%s/limekeep.ics\ntask apps: %s/dav/ (the page Calendar makes passwords)\nstop with Ctrl-C\n", base, base, secret, base)
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	err = server.Shutdown(patience)
	if errors.Is(err, context.DeadlineExceeded) {
		err = server.Close() // whoever still reads is cut off; what was written stands
	}
	if err != nil {
		return err
	}
	if err := <-failed; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// startNightly plans anew every night on the clock of the place.
func startNightly(zone *time.Location, replan func()) (*cron.Cron, error) {
	nightly := cron.New(cron.WithLocation(zone), cron.WithChain(cron.SkipIfStillRunning(cron.DiscardLogger)))
	if _, err := nightly.AddFunc(replanAt, replan); err != nil {
		return nil, err
	}
	nightly.Start()
	return nightly, nil
}

// shownAddress is how the listener is reached from this computer.
func shownAddress(listener net.Listener) string {
	address, ok := listener.Addr().(*net.TCPAddr)
	if ok && address.IP.IsUnspecified() {
		return net.JoinHostPort("localhost", fmt.Sprint(address.Port))
	}
	return listener.Addr().String()
}

// allowedHosts gives the names under which the server may be asked, so that a
// page elsewhere cannot reach it under a name of its own: this computer's names
// for itself, the address listened on, and the base. A server that listens on
// every address without a base may be asked under any name: which it has, it
// cannot know.
func allowedHosts(listener net.Listener, base string) ([]string, error) {
	address, ok := listener.Addr().(*net.TCPAddr)
	if !ok {
		return nil, nil
	}
	if address.IP.IsUnspecified() && base == "" {
		return nil, nil
	}
	port := fmt.Sprint(address.Port)
	hosts := []string{listener.Addr().String()}
	for _, name := range []string{"127.0.0.1", "localhost", "::1"} {
		hosts = append(hosts, net.JoinHostPort(name, port))
	}
	if base != "" {
		parsed, err := parseBase(base)
		if err != nil {
			return nil, err
		}
		hosts = append(hosts, parsed.Host, parsed.Hostname())
	}
	return hosts, nil
}
