package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"limekeep/cmd/limekeep/web"
	"limekeep/cmd/limekeep/web/api"
	"limekeep/schedule"
	"limekeep/schedule/day"
)

// pageServer is what answers in a server: the pages of one place, or of all of them.
type pageServer interface {
	Handler() http.Handler
	MetricsHandler() http.Handler
	Renew(ctx context.Context) error
	Watch(ctx context.Context)
	Told()
}

var (
	_ pageServer = (*web.Server)(nil)
	_ pageServer = (*web.Places)(nil)
)

// allKey is what is kept for all places together where something is kept for a place:
// their calendar's secret, their passwords. No place is called so.
const allKey = "~" + web.AllPlaces

// at lays the rooms over the records of one of several places. What is written of
// another makes nothing of it stale, and forecasts are worked out in turns.
func (h *house) at(place string, turns *day.Turns, source string) *house {
	d := h.days
	days := &day.Opener{
		Records: schedule.OfPlace(d.Records, place), Catalogue: d.Catalogue, Now: d.Now, Worlds: d.Worlds,
		Spell: d.Spell, PlanMonths: d.PlanMonths, PlanEffort: d.PlanEffort, Busy: d.Busy, Turns: turns, Standings: d.Standings,
		Derived: d.Derived, Program: d.Program, WatersAlone: true, Mains: d.Mains,
	}
	own := houseOver(h.db, days, source)
	own.publisher.Routine, own.own = h.publisher.Routine, h.own
	return own
}

// servingAll makes a server of all places of a listener that is open.
func (a *app) servingAll(h *house, m schedule.Moment, plain net.Listener, log *slog.Logger) (*serving, error) {
	s := &serving{house: h, app: a, log: log, m: m, zone: time.Local, many: true}
	hosts, anyAddress, err := s.open(plain)
	if err != nil {
		return nil, err
	}
	all := m
	all.Place = allKey
	s.front = a.pagesOf(h, all, log)
	s.front.OwnURL, s.front.AllowedHosts, s.front.AnyAddress = s.own, hosts, anyAddress
	turns := day.NewTurns()
	s.pages = &web.Places{
		Front: s.front, Records: h.days.Records, Round: a.roundSettings, Van: h.van, SetVan: h.setVan, Standings: h.db,
		SetUp: &api.FleetSetUp{Days: h.days, Journal: h.journal.From("page")},
		Make: func(place string) (*web.Server, error) {
			one := m
			one.Place = place
			pages := a.pagesOf(h.at(place, turns, "page"), one, log)
			pages.OwnURL, pages.Under = s.own, web.Under(place)
			pages.TrustedProxies, pages.MustHavePassword = s.front.TrustedProxies, s.front.MustHavePassword
			return pages, nil
		},
	}
	return s, nil
}

// open puts TLS over the listener where it is asked for, and returns the names under
// which the server may be asked.
func (s *serving) open(plain net.Listener) (hosts []string, anyAddress bool, err error) {
	s.own = "http://" + shownAddress(plain)
	certFile, keyFile := s.app.settings.GetString("tls-cert"), s.app.settings.GetString("tls-key")
	if s.listener, err = overTLS(plain, certFile, keyFile); err != nil {
		return nil, false, err
	}
	if certFile != "" {
		s.own = "https://" + shownAddress(plain)
	}
	return allowedHosts(plain, s.app.settings.GetString("base"))
}

// keepAddress keeps under which address the places are served, for the commands that
// tell it.
func (s *serving) keepAddress(ctx context.Context, base string) error {
	if !s.many {
		return s.db.SetServedAddress(ctx, s.m.Place, base)
	}
	places, err := s.days.Records.Places(ctx)
	if err != nil {
		return err
	}
	for _, place := range append(places, allKey) {
		err = errors.Join(err, s.db.SetServedAddress(ctx, place, base))
	}
	return err
}

// greetAll says where the pages of all places are.
func (s *serving) greetAll(ctx context.Context, base string) error {
	if s.app.settings.GetBool("show-address") {
		secret, err := s.db.Secret(ctx, allKey)
		if err != nil {
			return err
		}
		fmt.Fprintf(s.out, "calendar:  %s/calendar/%s/limekeep.ics (of all places)\n", base, secret)
	} else {
		fmt.Fprintf(s.out, "calendar:  the secret address of all places is on %s/places/calendar, that of each on its own page Calendar\n", base)
	}
	fmt.Fprintf(s.out, "task apps: %s/dav/, with the id of a place or \"%s\" as user name\nstop with Ctrl-C\n", base, web.AllPlaces)
	return nil
}
