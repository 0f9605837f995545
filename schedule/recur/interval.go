package recur

import (
	"context"
	"slices"
	"time"
)

// interval is one turn of a rule: its days, and the times on each of them.
type interval struct {
	from, until int64 // day numbers, until not included
	times       []int // seconds of the day, in order
}

// course is a rule's way through its intervals.
type course struct {
	rule  Rule
	start time.Time // the first occurrence on its clock, as if in UTC
	day   day       // of start
	times []int     // of rules of a day or more
}

// newCourse fills in from the first occurrence what the rule leaves open.
func newCourse(rule Rule, start time.Time) *course {
	c := &course{rule: rule, start: start, day: dayByNumber(dayNumber(start))}
	r := &c.rule
	if len(r.ByWeekNo)+len(r.ByYearDay)+len(r.ByMonthDay)+len(r.ByDay) == 0 {
		switch r.Freq {
		case Yearly:
			if len(r.ByMonth) == 0 {
				r.ByMonth = []int{c.day.month}
			}
			r.ByMonthDay = []int{c.day.inMonth}
		case Monthly:
			r.ByMonthDay = []int{c.day.inMonth}
		case Weekly:
			r.ByDay = []Weekday{{Day: c.day.weekday}}
		}
	}
	hour, minute, second := start.Clock()
	if len(r.ByHour) == 0 && r.Freq < Hourly {
		r.ByHour = []int{hour}
	}
	if len(r.ByMinute) == 0 && r.Freq < Minutely {
		r.ByMinute = []int{minute}
	}
	if len(r.BySecond) == 0 && r.Freq < Secondly {
		r.BySecond = []int{second}
	}
	if r.Freq < Hourly {
		c.times = timesOf(r.ByHour, r.ByMinute, r.BySecond)
	}
	return c
}

// timesOf returns seconds of the day, in order.
func timesOf(hours, minutes, seconds []int) []int {
	times := make([]int, 0, len(hours)*len(minutes)*len(seconds))
	for _, h := range hours {
		for _, m := range minutes {
			for _, s := range seconds {
				times = append(times, h*3600+m*60+s)
			}
		}
	}
	return times
}

// unit is how many seconds an interval within a day takes.
func (c *course) unit() int64 {
	switch c.rule.Freq {
	case Hourly:
		return 3600
	case Minutely:
		return 60
	}
	return 1
}

// nth returns the interval that comes so many turns after that of the first
// occurrence. Where it has no times, the next turn that can have some is skip.
func (c *course) nth(turn int64) (i interval, skip int64) {
	steps := turn * int64(c.rule.Interval)
	switch c.rule.Freq {
	case Yearly:
		return c.months(12*steps-int64(c.day.month)+1, 12), 0
	case Monthly:
		return c.months(steps, 1), 0
	case Weekly:
		from := c.weekStart() + 7*steps
		// In its week the first occurrence begins the set that BYSETPOS counts.
		return interval{max(from, c.day.number), from + 7, c.times}, 0
	case Daily:
		return interval{c.day.number + steps, c.day.number + steps + 1, c.times}, 0
	}
	return c.within(steps)
}

// months returns the interval of so many months that begins some months after that
// of the first occurrence. Those beyond the last year are all one.
func (c *course) months(after int64, count int) interval {
	first := int64(c.day.year)*12 + int64(c.day.month) - 1 + after
	first = min(first, (lastYear+1)*12)
	begin := func(months int64) int64 {
		return dayNumber(time.Date(int(floorDiv(months, 12)), time.Month(months-12*floorDiv(months, 12)+1), 1, 0, 0, 0, 0, time.UTC))
	}
	return interval{begin(first), begin(first + int64(count)), c.times}
}

func (c *course) weekStart() int64 {
	return c.day.number - int64(c.day.weekday-c.rule.WeekStart+7)%7
}

// within is nth for rules of less than a day.
func (c *course) within(steps int64) (i interval, skip int64) {
	unit := c.unit()
	first := floorDiv(c.start.Unix(), unit) // intervals of a unit since 1970
	begin := (first + steps) * unit         // seconds since 1970, as all that follows
	number := floorDiv(begin, secondsPerDay)
	second := int(begin - number*secondsPerDay)
	i = interval{from: number, until: number + 1}
	// after returns the first turn that begins when so many seconds have begun anew.
	after := func(seconds int64) int64 {
		next := (floorDiv(begin, seconds) + 1) * seconds
		return ceilDiv(ceilDiv(next, unit)-first, int64(c.rule.Interval))
	}
	r := &c.rule
	hour, minute := second/3600, second/60%60
	switch {
	case !r.allows(dayByNumber(number)):
		return i, after(secondsPerDay)
	case len(r.ByHour) > 0 && !slices.Contains(r.ByHour, hour):
		return i, after(3600)
	case r.Freq > Hourly && len(r.ByMinute) > 0 && !slices.Contains(r.ByMinute, minute):
		return i, after(60)
	case r.Freq == Secondly && len(r.BySecond) > 0 && !slices.Contains(r.BySecond, second%60):
		return i, after(1)
	}
	switch r.Freq {
	case Hourly:
		i.times = timesOf([]int{hour}, r.ByMinute, r.BySecond)
	case Minutely:
		i.times = timesOf([]int{hour}, []int{minute}, r.BySecond)
	default:
		i.times = []int{second}
	}
	return i, 0
}

// turnAt returns a turn that is not after a time on the clock, but close to it.
func (c *course) turnAt(wall time.Time) int64 {
	var steps int64
	switch at := dayByNumber(dayNumber(wall)); c.rule.Freq {
	case Yearly:
		steps = int64(at.year - c.day.year)
	case Monthly:
		steps = int64((at.year-c.day.year)*12 + at.month - c.day.month)
	case Weekly:
		steps = floorDiv(at.number-c.weekStart(), 7)
	case Daily:
		steps = at.number - c.day.number
	default:
		steps = floorDiv(wall.Unix(), c.unit()) - floorDiv(c.start.Unix(), c.unit())
	}
	return max(0, floorDiv(steps, int64(c.rule.Interval))-1)
}

// lastYear is the last that a calendar can write (RFC 5545, 3.3.4).
const lastYear = 9999

// walk goes through the times of the rule in order, from a turn that begins before
// from to the last time before until, both on the clock as if in UTC. With COUNT it
// goes through all times before from too, for they count.
func (c *course) walk(ctx context.Context, b *Budget, from, until time.Time, yield func(wall time.Time)) error {
	if last := time.Date(lastYear+1, time.January, 1, 0, 0, 0, 0, time.UTC); until.After(last) {
		until = last
	}
	turn, count := int64(0), 0
	if c.rule.Count == 0 {
		turn = c.turnAt(from)
	}
	var days []int64
	for {
		i, skip := c.nth(turn)
		if err := b.spend(ctx, 1); err != nil {
			return err
		}
		if !dayOf(i.from).Before(until) {
			return nil
		}
		if len(i.times) == 0 {
			turn = max(turn+1, skip)
			continue
		}
		turn++
		if err := b.spend(ctx, int(i.until-i.from)); err != nil {
			return err
		}
		days = days[:0]
		for number := i.from; number < i.until; number++ {
			if d := dayByNumber(number); c.rule.Freq >= Hourly || c.rule.allows(d) {
				days = append(days, number)
			}
		}
		positions := len(days) * len(i.times)
		picked := c.picked(positions)
		if len(c.rule.BySetPos) > 0 {
			positions = len(picked)
		}
		for n := range positions {
			if err := b.spend(ctx, 1); err != nil {
				return err
			}
			if picked != nil {
				n = picked[n]
			}
			wall := dayOf(days[n/len(i.times)]).Add(time.Duration(i.times[n%len(i.times)]) * time.Second)
			if wall.Before(c.start) {
				continue
			}
			if !wall.Before(until) {
				return nil
			}
			if !wall.Before(from) {
				yield(wall)
			}
			if count++; count == c.rule.Count {
				return nil
			}
		}
	}
}

// picked returns which of so many times of an interval BYSETPOS names, in order;
// nil where the rule has none.
func (c *course) picked(of int) []int {
	if len(c.rule.BySetPos) == 0 {
		return nil
	}
	picked := []int{}
	for _, position := range c.rule.BySetPos {
		n := position - 1
		if position < 0 {
			n = of + position
		}
		if n >= 0 && n < of {
			picked = append(picked, n)
		}
	}
	slices.Sort(picked)
	return slices.Compact(picked)
}
