package dav

import (
	"strings"
	"sync"
	"time"

	"github.com/emersion/go-ical"
)

// zones keeps the time zones that were looked up, since every look-up reads a
// file.
type zones struct{ known sync.Map }

// named returns the zone of a TZID. Apps write the names of the zone database
// alone or at the end of a longer name of their own, such as
// /example.org/20260101/Europe/Vienna. The rules in an object's own VTIMEZONE
// are not read: of a name that says nothing there is no zone.
func (z *zones) named(tzid string) (*time.Location, bool) {
	tzid = strings.Trim(tzid, "/\" ")
	for name := tzid; name != ""; {
		if known, ok := z.known.Load(name); ok {
			return known.(*time.Location), true
		}
		// "Local" is the zone of this machine, which no app can mean.
		if name != "Local" {
			if zone, err := time.LoadLocation(name); err == nil {
				z.known.Store(name, zone)
				return zone, true
			}
		}
		_, after, ok := strings.Cut(name, "/")
		if !ok {
			return nil, false
		}
		name = after
	}
	return nil, false
}

// of returns the zone that a calendar with just one VTIMEZONE is about.
func (z *zones) of(cal *ical.Calendar) (*time.Location, bool) {
	var found *ical.Component
	for _, c := range cal.Children {
		if c.Name != ical.CompTimezone || found != nil {
			return nil, false
		}
		found = c
	}
	if found == nil {
		return nil, false
	}
	id := found.Props.Get(ical.PropTimezoneID)
	if id == nil {
		return nil, false
	}
	return z.named(id.Value)
}
