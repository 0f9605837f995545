package dav

import (
	"strings"
	"time"

	"github.com/emersion/go-ical"
)

// instant is a date or a date with time of a calendar (RFC 5545, 3.3.4 and
// 3.3.5). Its zero value is one that is not there.
type instant struct {
	at       time.Time // of a floating one the wall clock, as if in UTC
	floating bool      // in whatever zone is asked about; dates always are
	day      bool      // a date
}

func (i instant) known() bool { return !i.at.IsZero() }

// in returns the point in time. A date is its first moment (RFC 4791, 9.9), a
// floating time is one of the zone given.
func (i instant) in(zone *time.Location) time.Time {
	if !i.floating {
		return i.at
	}
	y, m, d := i.at.Date()
	return time.Date(y, m, d, i.at.Hour(), i.at.Minute(), i.at.Second(), 0, zone)
}

// instantOf reads the value of a property. One that cannot be read is not there;
// one of an unknown zone floats.
func instantOf(p *ical.Prop, z *zones) instant {
	if p == nil {
		return instant{}
	}
	return readInstant(p.Value, p.Params.Get(ical.ParamTimezoneID), z)
}

// instantsOf reads all values of a property that can hold a list, of periods
// their beginnings.
func instantsOf(props []ical.Prop, z *zones) []instant {
	var all []instant
	for _, p := range props {
		for value := range strings.SplitSeq(p.Value, ",") {
			start, _, _ := strings.Cut(value, "/")
			if i := readInstant(start, p.Params.Get(ical.ParamTimezoneID), z); i.known() {
				all = append(all, i)
			}
		}
	}
	return all
}

func readInstant(value, tzid string, z *zones) instant {
	switch len(value) {
	case len("20060102"):
		if at, err := time.Parse("20060102", value); err == nil {
			return instant{at: at, floating: true, day: true}
		}
	case len("20060102T150405"):
		if tzid != "" {
			if zone, ok := z.named(tzid); ok {
				at, err := time.ParseInLocation("20060102T150405", value, zone)
				if err != nil {
					return instant{}
				}
				return instant{at: at}
			}
		}
		if at, err := time.Parse("20060102T150405", value); err == nil {
			return instant{at: at, floating: true}
		}
	case len("20060102T150405Z"):
		if at, err := time.Parse("20060102T150405Z", value); err == nil {
			return instant{at: at}
		}
	}
	return instant{}
}
