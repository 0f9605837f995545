package use

import (
	"limekeep/schedule/record"
)

// Hours a day at temperature where nothing says more. All are common practice.
const (
	homeHotHours = 2.0
	barHotHours  = 14.0

	// A machine at home is switched on so long before the first shot of a
	// session, and left on so long after the last one.
	warmingHours = 0.5
	idleHours    = 0.5
)

// How far the hours that a machine is hot may lie from what is taken for them, as
// log standard deviations: those that its owner states, those between the times of
// a log, and the usual ones of kitchens. A timer leaves nothing open. Assumptions.
const (
	statedHoursLogSD = 0.15
	timedHoursLogSD  = 0.2
	usualHoursLogSD  = 0.35
)

// hotHours is how long a machine is hot on a day. A timer counts most, then the
// hours its owner states, then the times of a log, then what is usual.
type hotHours struct {
	timers []timer
	stated float64 // hours a day, 0 where not said
	usual  float64
}

type timer struct{ on, off record.Switching }

func hotHoursOf(setting record.Setting, h record.Habit) hotHours {
	hot := hotHours{stated: h.HotHours, usual: homeHotHours}
	if setting == record.Bar {
		hot.usual = barHotHours
	}
	for _, t := range h.HotTimer {
		on, off, err := t.Read()
		if err != nil {
			continue // it was validated before it was kept
		}
		hot.timers = append(hot.timers, timer{on, off})
	}
	return hot
}

// logSD returns how uncertain the hours are; timed tells whether the log has
// times.
func (h hotHours) logSD(timed bool) float64 {
	switch {
	case len(h.timers) > 0:
		return 0
	case h.stated > 0:
		return statedHoursLogSD
	case timed:
		return timedHoursLogSD
	}
	return usualHoursLogSD
}

// expected returns the hours of a day by habit; share is the chance that it is
// switched on at all where no timer does it.
func (h hotHours) expected(on record.Date, share float64) float64 {
	switch {
	case len(h.timers) > 0:
		return h.byTimer(on)
	case h.stated > 0:
		return share * h.stated
	}
	return share * h.usual
}

// logged returns the hours of a day that was written down; drawn tells whether
// anything was.
func (h hotHours) logged(u record.UseDay, drawn bool) float64 {
	switch {
	case len(h.timers) > 0:
		return h.byTimer(u.Date)
	case !drawn:
		return 0 // switched off
	case h.stated > 0:
		return h.stated
	case u.HalfHours != 0:
		sessions, busy := u.HalfHours.Sessions()
		return min(24, busy+float64(sessions)*(warmingHours+idleHours))
	}
	return h.usual
}

func (h hotHours) byTimer(on record.Date) float64 {
	hours := 0.0
	for _, t := range h.timers {
		hours += float64(t.minutesHot(on)) / 60
	}
	return min(24, hours)
}

// timerReachDays is how far back a timer is followed to find whether it was on
// when a day began.
const timerReachDays = 7

// minutesHot adds up the minutes between on and off on a date.
func (t timer) minutesHot(on record.Date) int {
	hot := t.onBefore(on)
	total, since := 0, 0
	t.follow(on, func(minute int, now bool) {
		if hot && !now {
			total += minute - since
		}
		if !hot && now {
			since = minute
		}
		hot = now
	})
	if hot {
		total += 24*60 - since
	}
	return total
}

// onBefore reports whether the timer's last switching before a date was on.
func (t timer) onBefore(on record.Date) bool {
	for d := on - 1; d >= max(1, on-timerReachDays); d-- {
		seen, hot := false, false
		t.follow(d, func(_ int, now bool) { seen, hot = true, now })
		if seen {
			return hot
		}
	}
	return false
}

// follow hands over the switchings of a date in order; of two in the same
// minute, on is the later one.
func (t timer) follow(d record.Date, switched func(minute int, on bool)) {
	ons, offs := t.on.Minutes(d), t.off.Minutes(d)
	for len(ons) > 0 || len(offs) > 0 {
		if len(ons) == 0 || len(offs) > 0 && offs[0] <= ons[0] {
			switched(offs[0], false)
			offs = offs[1:]
		} else {
			switched(ons[0], true)
			ons = ons[1:]
		}
	}
}

// tellHours puts what was measured of the hours in place of what was taken for them.
func (t *Timeline) tellHours(told []record.Dated[record.HotHours]) {
	for _, h := range told { // of a day with several the last counts
		if i := int(h.On - t.First); i >= 0 && i < len(t.Days) && h.On <= t.Today {
			t.Days[i].HotHours = h.Body.Hours
		}
	}
}
