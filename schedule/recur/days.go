package recur

import (
	"slices"
	"time"
)

// day is a day of the calendar with what rules ask of it.
type day struct {
	number      int64 // since 1 January 1970
	year, month int
	inMonth     int // day of the month, from 1
	inYear      int // day of the year, from 1
	monthDays   int // days of its month
	yearDays    int // days of its year
	weekday     time.Weekday
}

func dayByNumber(number int64) day {
	at := dayOf(number)
	year, month, inMonth := at.Date()
	return day{
		number: number, year: year, month: int(month), inMonth: inMonth, inYear: at.YearDay(),
		monthDays: daysInMonth(year, int(month)), yearDays: daysInYear(year), weekday: at.Weekday(),
	}
}

func leap(year int) bool { return year%4 == 0 && (year%100 != 0 || year%400 == 0) }

func daysInYear(year int) int {
	if leap(year) {
		return 366
	}
	return 365
}

func daysInMonth(year, month int) int {
	switch month {
	case 2:
		if leap(year) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// allows reports whether a rule's parts about days allow a day. Parts that the
// table of RFC 5545, 3.3.10 has as "expand" work like those it has as "limit",
// since every day of an interval is looked at.
func (r *Rule) allows(d day) bool {
	switch {
	case len(r.ByMonth) > 0 && !slices.Contains(r.ByMonth, d.month):
	case len(r.ByMonthDay) > 0 && !fromEither(r.ByMonthDay, d.inMonth, d.monthDays):
	case len(r.ByYearDay) > 0 && !fromEither(r.ByYearDay, d.inYear, d.yearDays):
	case len(r.ByDay) > 0 && !r.allowsWeekday(d):
	case len(r.ByWeekNo) > 0 && !r.allowsWeek(d):
	default:
		return true
	}
	return false
}

// fromEither reports whether a list has the nth of so many, counted from the
// beginning or, with negative numbers, from the end.
func fromEither(list []int, nth, of int) bool {
	return slices.Contains(list, nth) || slices.Contains(list, nth-of-1)
}

// allowsWeekday knows BYDAY. The nth of a weekday is that of the month in monthly
// rules and in yearly ones with BYMONTH, that of the year in other yearly ones;
// the other rules know every such day alone.
func (r *Rule) allowsWeekday(d day) bool {
	for _, w := range r.ByDay {
		if w.Day != d.weekday {
			continue
		}
		nth, of := d.inMonth, d.monthDays
		switch {
		case w.Nth == 0 || r.Freq > Monthly:
			return true
		case r.Freq == Yearly && len(r.ByMonth) == 0:
			nth, of = d.inYear, d.yearDays
		}
		if w.Nth == (nth-1)/7+1 || w.Nth == -((of-nth)/7+1) {
			return true
		}
	}
	return false
}

// allowsWeek knows BYWEEKNO: the first week of a year is the first that has four
// days of it, as in ISO 8601 but beginning on the rule's own day.
func (r *Rule) allowsWeek(d day) bool {
	intoWeek := int(d.weekday-r.WeekStart+7) % 7
	// The fourth day of a week lies in the year that the week counts for.
	middle := dayByNumber(d.number - int64(intoWeek) + 3)
	week := (middle.inYear-1)/7 + 1
	// So many weeks have their fourth day in that year.
	weeks := week + (middle.yearDays-middle.inYear)/7
	return fromEither(r.ByWeekNo, week, weeks)
}
