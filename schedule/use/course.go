package use

import (
	"math"

	"limekeep/schedule/record"
)

// Course is the use of one machine over time: what was, up to and with Today,
// and what is expected after it.
type Course struct {
	First   record.Date // day of Days[0]
	Today   record.Date
	Days    []Day
	Rate    Rate // how the days to come were arrived at
	Spread  Spread
	Batches int // how many batches of records the past came from
	Logged  int // how many past days were written down
}

// Spread is how uncertain the use is, as log standard deviations of factors.
type Spread struct {
	Unlogged float64 // on all past days that nobody wrote down
	Future   float64 // on the rate of the days to come
	Month    float64 // on each month to come by itself
}

// How uncertain use is. All are assumptions.
const (
	habitLogSD  = 0.25 // a stated habit against what is truly drunk
	logLogSD    = 0.08 // a long log against the year that follows
	monthLogSD  = 0.10 // guests, holidays and illness, month by month
	logFullDays = 28.0 // so many logged days count as much as the stated habit
)

// NewCourse works out the use of a machine from its first day, or first, the
// later of the two, to last.
func NewCourse(book *record.Book, machine record.Equipment, first, last record.Date) *Course {
	c := &Course{First: max(first, machine.Bought), Today: book.Until}
	if last < c.First {
		last = c.First
	}
	c.Days = make([]Day, last-c.First+1)
	d := drinksOf(machine.Machine)
	habit := habitRate(machine.Machine)
	covered := c.fillPast(book, machine, d, habit)
	c.Rate = learnRate(book.DaysOf(machine.ID), covered, c.First, book.Until, habit)
	for i := max(0, int(c.Today-c.First)+1); i < len(c.Days); i++ {
		c.Days[i] = d.expected(c.Rate.Of(c.First + record.Date(i)))
	}
	logShare := c.Rate.LoggedDays / (c.Rate.LoggedDays + logFullDays)
	c.Spread = Spread{
		Unlogged: habitLogSD,
		Future:   math.Hypot(logLogSD, (1-logShare)*habitLogSD),
		Month:    monthLogSD,
	}
	return c
}

// fillPast writes the days up to today: as logged where a batch covers them,
// else by habit. It tells for each day whether it is covered.
func (c *Course) fillPast(book *record.Book, machine record.Equipment, d drinks, habit Rate) []bool {
	past := max(0, int(min(c.Today, c.First+record.Date(len(c.Days))-1)-c.First)+1)
	covered := make([]bool, past)
	for _, b := range book.UseBatches(machine.ID) {
		c.Batches++
		for day := max(b.Body.From, c.First); day <= min(b.Body.To, c.Today) && int(day-c.First) < past; day++ {
			covered[day-c.First] = true
		}
	}
	for i := range covered {
		if covered[i] {
			c.Days[i] = Day{Logged: true}
			c.Logged++
		} else {
			c.Days[i] = d.expected(habit.Of(c.First + record.Date(i)))
		}
	}
	for _, u := range book.DaysOf(machine.ID) {
		if i := int(u.Date - c.First); i >= 0 && i < past {
			c.Days[i] = d.logged(u)
		}
	}
	return covered
}

// On gives the day of a date; an empty day where the course does not reach.
func (c *Course) On(d record.Date) Day {
	i := int(d - c.First)
	if i < 0 || i >= len(c.Days) {
		return Day{}
	}
	return c.Days[i]
}
