package use

import (
	"time"

	"limekeep/schedule/record"
)

// learning goes through a machine's past day by day and learns how many shots
// are drunk on which weekday, and how often nobody is there.
type learning struct {
	factor   habitFactor
	week     weekPattern
	absence  absence
	observed int   // days that taught something
	pending  []int // days in a row that were written down without a shot
}

// learn goes through the past.
func learn(p *past) *learning {
	l := &learning{factor: newHabitFactor(p.habits.on(p.first).logSD())}
	if len(p.days) == 0 {
		l.week = newWeekPattern(p.habits[len(p.habits)-1])
		return l
	}
	habit := p.habits.index(p.first)
	l.week = newWeekPattern(p.habits[habit])
	for i := range p.days {
		if now := p.habits.index(p.first + record.Date(i)); now != habit {
			l.settle(p)
			habit = now
			l.factor.forget(p.habits[habit].logSD())
			l.week = newWeekPattern(p.habits[habit])
		}
		if d := p.days[i]; d.Logged && d.Shots == 0 && p.guests[i] == 0 {
			l.pending = append(l.pending, i)
			continue
		}
		l.settle(p)
		l.day(p, i)
	}
	l.settle(p)
	return l
}

// day takes one day.
func (l *learning) day(p *past, i int) {
	l.factor.pass()
	d, on := p.days[i], p.first+record.Date(i)
	switch {
	case d.Basis == ByAway: // it says nothing of the days outside it
	case p.guests[i] > 0: // what the guests drank says nothing of the habit
	case d.Logged:
		l.absence.see(0)
		l.see(on, d.Shots, 1)
	case d.Metered:
		// Its sum with its neighbours was measured: it counts for less, since
		// what a drink takes is not known that well.
		l.see(on, d.Shots, 0.5)
	default:
		l.factor.rely()
		l.week.rely(on)
		l.absence.rely()
	}
}

func (l *learning) see(on record.Date, shots, share float64) {
	l.observed++
	expected := l.week.shots(on.Weekday())
	l.factor.see(shots, expected, share)
	if share == 1 {
		middle, _ := l.factor.moments(0)
		l.week.see(on, shots, middle)
	}
}

const (
	// A run of days without a shot is an absence where chance alone would hardly
	// make it: the shots expected, in units of their dispersion (assumption; the
	// chance of none is e to the power of minus this).
	absenceUnlikely = 5.0
	// A longer run is taken for a change of habit (assumption).
	longestAbsenceDays = 45
)

// settle decides what the pending run of days without a shot was, and takes it.
func (l *learning) settle(p *past) {
	if len(l.pending) == 0 {
		return
	}
	middle, _ := l.factor.moments(0)
	expected := 0.0
	for _, i := range l.pending {
		expected += middle * l.week.shots((p.first + record.Date(i)).Weekday())
	}
	absent := expected/l.factor.dispersion.factor() >= absenceUnlikely &&
		len(l.pending) <= longestAbsenceDays && !l.weekly(p)
	for _, i := range l.pending {
		if absent {
			l.factor.pass()
			l.absence.see(1)
		} else {
			l.day(p, i)
		}
	}
	l.pending = l.pending[:0]
}

// weekly reports whether the pending days had no shot a week before either, as
// where a bar is closed on Sundays.
func (l *learning) weekly(p *past) bool {
	if len(l.pending) >= 7 {
		return false
	}
	for _, i := range l.pending {
		if i < 7 || !p.days[i-7].Logged || p.days[i-7].Shots > 0 {
			return false
		}
	}
	return true
}

// rate returns what is to be expected from the habit in force and what was
// learnt.
func (l *learning) rate(p *past, today record.Date) Rate {
	r := habitRate(p.habits.on(today))
	if l.observed > 0 {
		middle, _ := l.factor.moments(0)
		for i := range r.ByWeekday {
			r.ByWeekday[i] = middle * l.week.shots(time.Weekday(i))
		}
	}
	for d := max(p.first, today-rateWindowDays+1); d <= today; d++ {
		if day, ok := p.on(d); ok && day.Logged {
			r.LoggedDays++
		}
	}
	return r
}

// absence is how often nobody is there for days on end without a word, as the
// gaps in a log tell. Periods away that were written down are not among them:
// they say nothing of the days outside them, and those to come are written down
// as well.
type absence struct{ away, days float64 }

const (
	absenceKeeps = 0.995
	// absencePriorDays is the weight of being always there (assumption).
	absencePriorDays = 90.0
	// absenceRunDays is how long an absence is (assumption).
	absenceRunDays = 10.0
)

func (a *absence) see(away float64) {
	a.away = a.away*absenceKeeps + away
	a.days = a.days*absenceKeeps + 1
}

// rely lets a day go by of which nothing is known but the habit: what a log that
// ended said of absences fades like what it said of shots.
func (a *absence) rely() {
	a.away -= a.away / relyDays
	a.days -= a.days / relyDays
}

// share returns the share of days away.
func (a *absence) share() float64 { return a.away / (a.days + absencePriorDays) }

// variance returns that of the share of so many days to come that are spent
// away, relative to the square of the days spent there.
func (a *absence) variance(days float64) float64 {
	p := a.share()
	runs := max(1, days/absenceRunDays)
	return p / (1 - p) / runs
}
