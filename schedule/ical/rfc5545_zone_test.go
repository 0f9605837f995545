package ical

import "slices"

// zone5545 is a time zone as a VTIMEZONE describes it (3.6.5). Its observances
// recur by no rule and on no other dates, which suffices here.
type zone5545 struct {
	observances []observance5545 // the earliest first
}

type observance5545 struct {
	line     int
	onset    int64 // on the clock in force until then
	from, to int
}

// covers tells whether a time of a clock lies within the description.
func (z *zone5545) covers(wall int64) bool {
	return len(z.observances) == 0 || z.observances[0].onset <= wall
}

// instant gives the instant of a time of the clock. A time that comes twice is
// the first; one that does not come at all counts by the offset before the gap
// (3.3.5).
func (z *zone5545) instant(wall int64) int64 {
	offset := 0
	for i, o := range z.observances {
		if i == 0 {
			offset = o.to
		}
		if gap := int64(o.to - o.from); o.onset > wall || gap > 0 && wall < o.onset+gap {
			break
		}
		offset = o.to
	}
	return wall - int64(offset)
}

// timezone checks a VTIMEZONE and remembers it (3.6.5).
func (c *checker) timezone(p *part) {
	name := p.first("TZID")
	if name == nil {
		return // said already
	}
	if c.zones[name.value] != nil {
		c.fault(p.line, "3.8.3.1", "%s is described twice", name.value)
	}
	z := &zone5545{}
	c.zones[name.value] = z
	if len(p.parts) == 0 {
		c.fault(p.line, "3.6.5", "neither STANDARD nor DAYLIGHT")
	}
	for _, inner := range p.parts {
		start, from, to := inner.first("DTSTART"), inner.first("TZOFFSETFROM"), inner.first("TZOFFSETTO")
		if start == nil || from == nil || to == nil {
			continue // said already
		}
		s, ok := readDateTime(start.value)
		if !ok || s.utc || len(start.params) > 0 {
			c.fault(start.line, "3.6.5", "an onset is a local time without a zone")
			continue
		}
		o := observance5545{line: inner.line, onset: s.wall}
		o.from, _ = readOffset(from.value)
		o.to, _ = readOffset(to.value)
		z.observances = append(z.observances, o)
	}
	slices.SortFunc(z.observances, func(a, b observance5545) int { return int(a.onset - b.onset) })
	for i := 1; i < len(z.observances); i++ {
		if before, o := z.observances[i-1], z.observances[i]; o.from != before.to {
			c.fault(o.line, "3.8.3.3", "TZOFFSETFROM is not what was in force before")
		}
	}
}
