package ical

import (
	"fmt"
	"time"

	goical "github.com/emersion/go-ical"
)

// zoneDescriptions makes the VTIMEZONEs of a zone, and keeps them: those of times
// between the same changes of clocks are the same.
type zoneDescriptions struct {
	zone *time.Location
	made map[[2]time.Time]*goical.Component
}

func descriptionsOf(zone *time.Location) *zoneDescriptions {
	return &zoneDescriptions{zone, map[[2]time.Time]*goical.Component{}}
}

// of returns a VTIMEZONE that is right for every instant from first to last.
func (d *zoneDescriptions) of(first, last time.Time) *goical.Component {
	start := descriptionStart(d.zone, first)
	begin, _ := start.ZoneBounds()
	until, _ := last.In(d.zone).ZoneBounds()
	key := [2]time.Time{begin.UTC(), until.UTC()}
	if d.made[key] == nil {
		d.made[key] = timezone(start, last)
	}
	return d.made[key]
}

// timezone makes a VTIMEZONE from the transitions of a zone, from those that the
// start lies between to those of the last instant. An observance stands for all
// stretches of one name and offset that come after the same offset (RFC 5545,
// 3.6.5): by a rule where the zone keeps to one, else by dates. Programs make less
// of dates: a strict reader of Ruby (icalendar) knows the time by the latest onset of
// each observance, and has none for one that begins after the entry it asks about, so
// that the description begins before first with both standard and daylight saving
// time.
//
// The first is one of standard time: RFC 5545, 3.6.5 does not ask for it, but
// programs do that know daylight saving as a departure from it (icalendar).
func timezone(at, last time.Time) *goical.Component {
	zone := at.Location()
	tz := goical.NewComponent(goical.CompTimezone)
	tz.Props.SetText(goical.PropTimezoneID, zone.String())
	var observances []*observance // in the order of their first onsets
	byKind := map[observanceKind]*observance{}
	start, _ := at.ZoneBounds()
	for {
		onset, kind := onsetOf(at, start)
		o := byKind[kind]
		if o == nil && !start.After(last) {
			o = &observance{observanceKind: kind}
			byKind[kind] = o
			observances = append(observances, o)
		}
		if o != nil {
			o.onsets = append(o.onsets, onset)
			if !start.After(last) {
				o.needed = len(o.onsets)
			}
		}
		start = nextChange(at)
		if start.IsZero() || start.Year() > last.Year()+ruleYears {
			break
		}
		at = start.In(zone)
	}
	// Where one changes by a rule and another does not, the two would not follow each
	// other beyond the last date.
	ruled := true
	for _, o := range observances {
		_, ok := yearlyRule(o.onsets)
		ruled = ruled && (ok || o.needed == len(o.onsets))
	}
	for _, o := range observances {
		tz.Children = append(tz.Children, o.component(ruled))
	}
	return tz
}

// descriptionStart returns a time in the stretch of standard time with which the
// description of a zone begins: after it, and not after first, there is one of
// daylight saving time, if the zone had any within some years.
func descriptionStart(zone *time.Location, first time.Time) time.Time {
	const longAgo = 3 // years, after which a zone counts as one without daylight saving time
	at := first.In(zone)
	daylight := at.IsDST()
	for back := at; ; {
		start, _ := back.ZoneBounds()
		if start.IsZero() || start.Before(first.AddDate(-longAgo, 0, 0)) {
			break
		}
		back = start.Add(-time.Second).In(zone)
		if back.IsDST() {
			daylight = true
		}
		if !back.IsDST() && (daylight || at.IsDST()) {
			return back
		}
	}
	// No daylight saving time, or nothing else: as far back as to standard time.
	for start, _ := at.ZoneBounds(); at.IsDST() && !start.IsZero(); start, _ = at.ZoneBounds() {
		at = start.Add(-time.Second).In(zone)
	}
	return at
}

// nextChange returns when the clock of a time's zone changes next, zero where it
// never does. Beyond the years that the time zone database lists, package time takes
// the end of a leap year for a change, and comes no further from there.
func nextChange(at time.Time) time.Time {
	name, offset := at.Zone()
	for ask := at; ; {
		_, end := ask.ZoneBounds()
		if end.IsZero() {
			return end
		}
		if n, o := end.In(at.Location()).Zone(); n != name || o != offset || end.In(at.Location()).IsDST() != at.IsDST() {
			return end
		}
		ask = end.Add(48 * time.Hour).In(at.Location())
	}
}

// observanceKind is what the stretches of one observance have in common.
type observanceKind struct {
	daylight bool
	name     string
	from, to int // seconds east of UTC, before its onset and from then on
}

// observance is a STANDARD or DAYLIGHT of a VTIMEZONE.
type observance struct {
	observanceKind
	onsets []time.Time // on the clock that was in force until then, as if in UTC
	needed int         // how many of them the calendar needs; those after them tell whether there is a rule
}

// onsetOf describes the stretch of one offset that an instant lies in, since start.
func onsetOf(at, start time.Time) (onset time.Time, kind observanceKind) {
	name, to := at.Zone()
	kind = observanceKind{daylight: at.IsDST(), name: name, from: to, to: to}
	if start.IsZero() { // a zone without changes
		return time.Date(1970, time.January, 1, 0, 0, 0, 0, time.UTC), kind // before every entry
	}
	_, kind.from = start.Add(-time.Second).Zone()
	return start.UTC().Add(time.Duration(kind.from) * time.Second), kind
}

// component writes the observance, by a rule if those may be written.
func (o *observance) component(ruled bool) *goical.Component {
	kind := goical.CompTimezoneStandard
	if o.daylight {
		kind = goical.CompTimezoneDaylight
	}
	c := goical.NewComponent(kind)
	date := func(name string, at time.Time) goical.Prop {
		return goical.Prop{Name: name, Value: at.Format("20060102T150405")}
	}
	start := date(goical.PropDateTimeStart, o.onsets[0])
	c.Props.Set(&start)
	c.Props.Set(&goical.Prop{Name: goical.PropTimezoneOffsetFrom, Value: offset(o.from)})
	c.Props.Set(&goical.Prop{Name: goical.PropTimezoneOffsetTo, Value: offset(o.to)})
	c.Props.SetText(goical.PropTimezoneName, o.name)
	if rule, ok := yearlyRule(o.onsets); ok && ruled {
		c.Props.Set(&goical.Prop{Name: goical.PropRecurrenceRule, Value: rule})
		return c
	}
	if o.needed == 1 {
		return c
	}
	// The first is among the dates too: ical.js goes by them alone where there are any.
	// Each is by itself: not every program reads lists.
	for _, onset := range o.onsets[:o.needed] {
		one := date(goical.PropRecurrenceDates, onset)
		c.Props.Add(&one)
	}
	return c
}

// offset writes seconds east of UTC as RFC 5545, 3.3.14 does.
func offset(seconds int) string {
	sign := '+'
	if seconds < 0 {
		sign, seconds = '-', -seconds
	}
	text := fmt.Sprintf("%c%02d%02d", sign, seconds/3600, seconds/60%60)
	if seconds%60 != 0 {
		text += fmt.Sprintf("%02d", seconds%60)
	}
	return text
}
