package ical

import (
	"fmt"
	"time"

	goical "github.com/emersion/go-ical"
)

// timezone makes the VTIMEZONE of a zone from its own transitions, enough of
// them for every instant from first to last. Each stretch of one offset is an
// observance of its own, so nothing depends on a rule that a country may change.
// The first is one of standard time: RFC 5545, 3.6.5 does not ask for it, but
// programs do that know daylight saving as a departure from it (icalendar).
func timezone(zone *time.Location, first, last time.Time) *goical.Component {
	tz := goical.NewComponent(goical.CompTimezone)
	tz.Props.SetText(goical.PropTimezoneID, zone.String())
	at := first.In(zone)
	for start, _ := at.ZoneBounds(); at.IsDST() && !start.IsZero(); start, _ = at.ZoneBounds() {
		at = start.Add(-time.Second).In(zone)
	}
	for {
		start, end := at.ZoneBounds()
		tz.Children = append(tz.Children, observance(at, start))
		if end.IsZero() || end.After(last) {
			return tz
		}
		at = end.In(zone)
	}
}

// observance describes the offset in force at an instant, since start.
func observance(at, start time.Time) *goical.Component {
	kind := goical.CompTimezoneStandard
	if at.IsDST() {
		kind = goical.CompTimezoneDaylight
	}
	name, to := at.Zone()
	from := to
	onset := "19700101T000000" // of a zone without changes: before every entry
	if !start.IsZero() {
		_, from = start.Add(-time.Second).Zone()
		// The onset is written on the clock that was in force until then.
		onset = start.In(time.FixedZone("", from)).Format("20060102T150405")
	}
	o := goical.NewComponent(kind)
	o.Props.Set(&goical.Prop{Name: goical.PropDateTimeStart, Value: onset})
	o.Props.Set(&goical.Prop{Name: goical.PropTimezoneOffsetFrom, Value: offset(from)})
	o.Props.Set(&goical.Prop{Name: goical.PropTimezoneOffsetTo, Value: offset(to)})
	o.Props.SetText(goical.PropTimezoneName, name)
	return o
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
