package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"runtime/debug"
	"strings"
	"time"

	"github.com/robfig/cron/v3"
	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/store"
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
to subscribe to. Where the records hold several places all of them are served, each below
/at/ and its id, with an overview in front; --place serves one alone. The plan is made anew every night. It listens on this computer alone unless
--listen says otherwise; whatever other computers reach asks for the password that
"limekeep password set" sets. Where one is set, it is asked for on this computer as well: every
user and program of it can reach the port.`,
		Example: `  limekeep serve
  limekeep serve --listen 192.168.1.20:8321 --base http://192.168.1.20:8321
  limekeep serve --listen :8443 --tls-cert chain.pem --tls-key key.pem --base https://care.example.org:8443
  limekeep serve --listen unix:/run/limekeep/pages.sock --base https://care.example.org`,
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
			defer h.close()
			s, err := a.newServing(cmd, h, m)
			if err != nil {
				// Stopped before there was a place to serve: no more of a failure than later.
				if stopped := context.Cause(cmd.Context()); stopped != nil && errors.Is(err, stopped) {
					return nil
				}
				return err
			}
			return s.run(cmd.Context())
		},
	}
	flags := cmd.Flags()
	flags.String("listen", preferredAddress, "address and port to listen on, or unix:PATH for a socket")
	flags.Bool("take-todos", false, "make to-dos that task apps create tasks of your own")
	flags.String("tls-cert", "", "file of the certificate chain (PEM): the pages are encrypted with it")
	flags.String("tls-key", "", "file of its key (PEM)")
	flags.StringSlice("trusted-proxy", nil, "addresses or networks of servers in front, which say who asks and how")
	flags.Bool("setup-link", false, "print a link that sets the password, once; without one, what other computers reach stays closed")
	flags.Bool("show-address", false, "print the secret address of the calendar at the start")
	flags.String("metrics", "", "address on this computer that serves figures for Prometheus, such as 127.0.0.1:9321")
	flags.String("backup-at", "", "when backups are made, as five cron fields on the place's clock, such as \"30 3 * * *\"")
	flags.String("backup-folder", "", "folder that they go to")
	flags.String("backup-to", "", "command whose standard input gets them instead")
	flags.Int("backup-keep", mostBackups, "how many stay in the folder")
	flags.String("log-level", "warn", "what is logged: debug, info (every request), warn or error")
	flags.String("log-format", "text", "how it is logged: text or json")
	baseFlag(cmd)
	cmd.AddCommand(newServeInstall(a))
	return cmd
}

// serving is a server that is about to run.
type serving struct {
	*house
	app      *app
	out      io.Writer
	log      *slog.Logger
	m        schedule.Moment
	zone     *time.Location
	listener net.Listener
	metrics  net.Listener // nil where none are served
	pages    pageServer
	front    *web.Server // whose settings say who may ask
	many     bool        // whether all places are served
	own      string      // address under which this computer reaches it
}

// newServing reads the settings of a server and opens its addresses.
func (a *app) newServing(cmd *cobra.Command, h *house, m schedule.Moment) (*serving, error) {
	ctx := cmd.Context()
	log, err := newLog(cmd.ErrOrStderr(), a.settings.GetString("log-level"), a.settings.GetString("log-format"))
	if err != nil {
		return nil, err
	}
	proxies, err := trustedProxies(a.settings.GetStringSlice("trusted-proxy"))
	if err != nil {
		return nil, err
	}
	base := a.settings.GetString("base")
	if base != "" {
		if _, err := parseBase(base); err != nil {
			return nil, err
		}
	}
	address := a.settings.GetString("listen")
	if _, _, err := net.SplitHostPort(address); err != nil && !strings.HasPrefix(address, socketPrefix) {
		return nil, &record.FieldError{Field: "--listen", Value: address, Want: strings.TrimPrefix(listenHelp, "give ")}
	}
	open := reachedByOthers(address)
	if err := a.needPassword(ctx, h.db, address, open); err != nil {
		return nil, err
	}
	figures, err := listenForMetrics(ctx, a.settings.GetString("metrics"))
	if err != nil {
		return nil, err
	}
	plain, err := listen(ctx, address, cmd.Flags().Changed("listen"))
	if err != nil {
		return nil, errors.Join(err, closeIf(figures))
	}
	if err := a.awaitPlace(ctx, cmd.OutOrStdout(), h, m, plain, log); err != nil {
		return nil, errors.Join(err, plain.Close(), closeIf(figures))
	}
	s, err := a.servingOn(ctx, h, m, plain, log)
	if err != nil {
		return nil, errors.Join(err, plain.Close(), closeIf(figures))
	}
	s.out, s.metrics = cmd.OutOrStdout(), figures
	s.front.TrustedProxies, s.front.MustHavePassword = proxies, open
	return s, nil
}

// servingOn makes a server of a listener that is open: of all places where there are
// several and none is named.
func (a *app) servingOn(ctx context.Context, h *house, m schedule.Moment, plain net.Listener, log *slog.Logger) (*serving, error) {
	places, err := h.days.Records.Places(ctx)
	if err != nil {
		return nil, err
	}
	if m.Place == "" && len(places) > 1 {
		return a.servingAll(h, m, plain, log)
	}
	d, err := h.days.Open(ctx, m)
	if err != nil {
		return nil, err
	}
	m.Place = d.Place.ID // the day stays open, so that a server that runs for weeks moves with the calendar
	s := &serving{house: h, app: a, log: log, m: m, zone: d.Zone}
	hosts, anyAddress, err := s.open(plain)
	if err != nil {
		return nil, err
	}
	s.front = a.pagesOf(h, m, log)
	s.front.OwnURL, s.front.AllowedHosts, s.front.AnyAddress = s.own, hosts, anyAddress
	s.pages = s.front
	return s, nil
}

func closeIf(l net.Listener) error {
	if l == nil {
		return nil
	}
	return l.Close()
}

// pagesOf makes the pages of a place.
func (a *app) pagesOf(h *house, m schedule.Moment, log *slog.Logger) *web.Server {
	db := h.db
	var shared schedule.Shared
	if db.OnServer() { // which others may serve as well
		shared = db
	}
	return &web.Server{
		Shared:    shared,
		Days:      h.days,
		Journal:   h.journal,
		Publisher: h.publisher,
		SyncStore: db,
		Sittings:  db,
		OwnCal:    h.own,
		Secret:    func(ctx context.Context) (string, error) { return db.Secret(ctx, m.Place) },
		NewSecret: func(ctx context.Context) (string, error) { return db.ReplaceSecret(ctx, m.Place) },
		Apps:      appPasswords{db, m.Place},
		CheckPassword: func(ctx context.Context, password string) (string, bool, error) {
			return db.CheckPassword(ctx, m.Place, password, store.ScopeTasks)
		},
		CheckToken: func(ctx context.Context, token, scope string) (string, bool, error) {
			return db.CheckPassword(ctx, m.Place, token, store.Scope(scope))
		},
		Owner:     owner{db},
		People:    people{db},
		All:       m.Place == allKey,
		Log:       log,
		Place:     m.Place,
		Today:     m.Today,
		BaseURL:   a.settings.GetString("base"), // left empty, the pages name the host they were asked for
		TakeTodos: a.settings.GetBool("take-todos"),
	}
}

// needPassword refuses to open what other computers reach while no password is set,
// unless a link is to set it.
func (a *app) needPassword(ctx context.Context, db *store.DB, address string, open bool) error {
	if !open {
		return nil
	}
	has, err := db.HasOwnerPassword(ctx)
	if err != nil || has || a.settings.GetBool("setup-link") {
		return err
	}
	return fmt.Errorf("--listen: other computers can reach %s, and no password is set: set one with \"limekeep password set\", or start with --setup-link, which prints a link that sets it; nothing was opened", address)
}

// roomToServe is by how many hundredths of what is in use memory may grow before what is
// left over is looked for: a server stays on a small computer beside others. GOGC, where it
// is set, says otherwise.
const roomToServe = 60

// run serves until the context ends.
func (s *serving) run(ctx context.Context) error {
	if os.Getenv("GOGC") == "" {
		defer debug.SetGCPercent(debug.SetGCPercent(roomToServe))
	}
	defer func() { _ = closeIf(s.metrics) }()
	addJobs := func() error { return nil }
	if s.db.OnServer() && s.m.Today.IsZero() {
		add, stop, err := s.startJobs(ctx)
		if err != nil {
			return errors.Join(err, s.listener.Close())
		}
		addJobs = add
		defer stop()
	}
	nightly, err := startNightly(s.zone, func() {
		if s.db.OnServer() {
			if err := addJobs(); err != nil && ctx.Err() == nil {
				s.log.Error("the plans of the night could not be added", "error", err)
			}
			return // whoever publishes, this server is told
		}
		if s.many {
			return // each place looks at its own clock
		}
		if err := s.pages.Renew(ctx); err != nil && ctx.Err() == nil {
			s.log.Error("the plan could not be made anew", "error", err)
		}
	})
	if err != nil {
		return errors.Join(err, s.listener.Close())
	}
	defer nightly.Stop()
	stopKeeping, err := s.startKeeping(ctx)
	if err != nil {
		return errors.Join(err, s.listener.Close())
	}
	defer stopKeeping()
	base := s.app.settings.GetString("base")
	if base == "" {
		base = s.own
	}
	if err := s.keepAddress(ctx, base); err != nil {
		return errors.Join(err, s.listener.Close())
	}
	if err := s.pages.Renew(ctx); err != nil { // the pages can still be used to put right what is wrong
		s.log.Error("the plan could not be made", "error", err)
	}
	watch, unwatch := context.WithCancel(ctx)
	watching := make(chan struct{})
	go func() {
		defer close(watching)
		s.pages.Watch(watch)
	}()
	telling := make(chan struct{})
	go func() {
		defer close(telling)
		s.db.Changes(watch, s.pages.Told)
	}()
	defer func() {
		unwatch()
		<-watching // it may be writing
		<-telling
	}()
	if err := s.greet(ctx, base); err != nil {
		return errors.Join(err, s.listener.Close())
	}
	return s.answer(ctx)
}

// greet says where the pages are.
func (s *serving) greet(ctx context.Context, base string) error {
	fmt.Fprintf(s.out, "pages:     %s/\n", base)
	has, err := s.db.HasOwnerPassword(ctx)
	if err != nil {
		return err
	}
	if s.app.settings.GetBool("setup-link") && !has {
		secret, err := s.db.NewSetupLink(ctx)
		if err != nil {
			return err
		}
		fmt.Fprintf(s.out, "password:  %s/set-password/%s sets it, once and within a day\n", base, secret)
	}
	if s.many {
		return s.greetAll(ctx, base)
	}
	if s.app.settings.GetBool("show-address") {
		secret, err := s.db.Secret(ctx, s.m.Place)
		if err != nil {
			return err
		}
		fmt.Fprintf(s.out, "calendar:  %s/calendar/%s/limekeep.ics\n", base, secret)
	} else {
		fmt.Fprintf(s.out, "calendar:  its secret address is on the page Calendar; \"limekeep calendar address\" prints it\n")
	}
	fmt.Fprintf(s.out, "task apps: %s/dav/ (the page Calendar makes passwords)\nstop with Ctrl-C\n", base)
	return nil
}

// answer answers requests until the context ends, and is done soon after, whatever
// clients do.
func (s *serving) answer(ctx context.Context) error {
	working, giveUp := context.WithCancel(context.WithoutCancel(ctx))
	defer giveUp()
	server := &http.Server{
		Handler:           s.pages.Handler(),
		ReadHeaderTimeout: headerTimeout, ReadTimeout: readTimeout, WriteTimeout: writeTimeout, IdleTimeout: idleTimeout,
		MaxHeaderBytes: mostHeaderBytes,
		ConnState:      newConnections(connectionsFor(openFiles())).changed,
		BaseContext:    func(net.Listener) context.Context { return working },
		ErrorLog:       slog.NewLogLogger(s.log.Handler(), slog.LevelDebug), // what clients do to their connections
	}
	failed := make(chan error, 2)
	go func() { failed <- server.Serve(s.listener) }()
	if s.metrics != nil {
		figures := &http.Server{Handler: s.pages.MetricsHandler(), ReadTimeout: readTimeout, WriteTimeout: writeTimeout}
		defer figures.Close()
		go func() {
			if err := figures.Serve(s.metrics); !errors.Is(err, http.ErrServerClosed) {
				failed <- err
			}
		}()
	}
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownPatience)
	defer cancel()
	err := server.Shutdown(patience)
	if errors.Is(err, context.DeadlineExceeded) {
		giveUp() // whoever still waits for a forecast waits for nothing
		last, cancel := context.WithTimeout(context.WithoutCancel(ctx), abandonedPatience)
		defer cancel()
		if err = server.Shutdown(last); errors.Is(err, context.DeadlineExceeded) {
			err = server.Close() // whoever still reads is cut off; what was written stands
		}
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
