package shotlog

import "limekeep/schedule/record"

// instantCounts numbers the rows of one and the same instant, which are told
// apart by their order. It holds the days that were met last, so that a file
// need not be in the order of time.
type instantCounts struct {
	days map[record.Date]*[1441]int32
	date record.Date
	day  *[1441]int32
}

// mostCountedDays bounds the days held.
const mostCountedDays = 64

// next returns the number of the next row of an instant, from 0.
func (c *instantCounts) next(date record.Date, minute int) int {
	if c.day == nil || date != c.date {
		if c.days == nil {
			c.days = map[record.Date]*[1441]int32{}
		}
		day, ok := c.days[date]
		if !ok {
			if len(c.days) >= mostCountedDays {
				clear(c.days)
			}
			day = new([1441]int32)
			c.days[date] = day
		}
		c.date, c.day = date, day
	}
	n := c.day[minute+1]
	c.day[minute+1]++
	return int(n)
}
