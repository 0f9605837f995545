package ical

import (
	"strings"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/record"
)

// setDate writes a whole day (RFC 5545, 3.3.4).
func setDate(props goical.Props, name string, day record.Date) {
	p := goical.NewProp(name)
	p.SetValueType(goical.ValueDate)
	p.Value = strings.ReplaceAll(day.String(), "-", "")
	props.Set(p)
}

func setInstant(props goical.Props, name string, t time.Time) {
	props.Set(&goical.Prop{Name: name, Value: t.UTC().Format("20060102T150405Z")})
}

// setSpan writes when an event starts and ends. An end must be later than its
// start (RFC 5545, 3.8.2.2); an event without one ends as it starts (3.6.1).
func setSpan(props goical.Props, start, end time.Time, zone *time.Location) {
	start, end = start.Truncate(time.Second), end.Truncate(time.Second)
	if comesTwice(start.In(zone)) || comesTwice(end.In(zone)) {
		zone = time.UTC // both alike: some programs expect it
	}
	setLocal(props, goical.PropDateTimeStart, start, zone)
	if end.After(start) {
		setLocal(props, goical.PropDateTimeEnd, end, zone)
	}
}

// setLocal writes an instant on the clock of a zone. A time that the clock shows
// twice would be read as the first (RFC 5545, 3.3.5), or as programs please: such
// an instant is written in UTC.
func setLocal(props goical.Props, name string, t time.Time, zone *time.Location) {
	t = t.In(zone)
	if zone == time.UTC || comesTwice(t) {
		setInstant(props, name, t)
		return
	}
	p := goical.NewProp(name)
	p.Params.Set(goical.ParamTimezoneID, zone.String())
	p.Value = t.Format("20060102T150405")
	props.Set(p)
}

// comesTwice tells whether the clock of the zone that t is in shows the same time
// at another instant too, since it goes back.
func comesTwice(t time.Time) bool {
	start, end := t.ZoneBounds()
	_, offset := t.Zone()
	if !start.IsZero() {
		_, before := start.Add(-time.Second).Zone()
		if t.Sub(start) < time.Duration(before-offset)*time.Second {
			return true
		}
	}
	if !end.IsZero() {
		_, after := end.Zone()
		return end.Sub(t) <= time.Duration(offset-after)*time.Second
	}
	return false
}
