package shotlog

import (
	"bytes"
	"errors"
	"fmt"
	"time"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

const secondsADay = 86_400

// errNoLength says that a cell holds no length of time.
var errNoLength = errors.New("no length of time")

// parseTime reads a time in a column of its own.
func (f *Log) parseTime(i int, cell []byte) error {
	cell = withoutEpoch(cell)
	fraction, clock := clockShape(cell)
	if fraction && clock { // 0.25 is a quarter past midnight, or of a day
		if !f.writing.fractions && !f.writing.clocks && !f.writing.surveyed {
			f.survey()
		}
		if f.writing.fractions == f.writing.clocks {
			return &record.FieldError{Field: f.header.where(i), Value: string(cell), Want: "a time with a colon, such as 07:40: this may be minutes past midnight or a part of a day"}
		}
		fraction, clock = f.writing.fractions, f.writing.clocks
	}
	if fraction {
		f.writing.fractions = true
		x, err := figure.Either.ReadBytes(cell)
		if err == nil && x < 1 {
			f.raw.minute[1] = int(x*secondsADay+0.5) / 60 % (24 * 60)
			return nil
		}
	} else if minute, ok := parseClock(cell); ok {
		f.writing.clocks = f.writing.clocks || clock
		f.raw.minute[1] = minute
		return nil
	}
	return &record.FieldError{Field: f.header.where(i), Value: string(cell), Want: "a time of the day, such as 07:40 or 7:40 am"}
}

// withoutEpoch cuts off the day that some spreadsheets write before a time alone:
// their day 0, in 1899 or 1900.
func withoutEpoch(cell []byte) []byte {
	day, clock := splitInstant(cell)
	if len(clock) > 0 && (bytes.Contains(day, []byte("1899")) || bytes.Contains(day, []byte("1900"))) {
		return clock
	}
	return cell
}

// settleMinute takes the time of the day over into a row: that of its own
// column, or else the one behind the day. A file all of whose times are midnight
// knows the day alone.
func (f *Log) settleMinute(row *record.UseRow, raw *rawRow) error {
	minute := raw.minute[1]
	switch behind := raw.minute[0]; {
	case minute < 0:
		minute = behind
	case behind > 0 && behind != minute: // midnight is what spreadsheets put behind a day
		return &record.FieldError{Field: f.header.where(f.header.index(timeColumn)), Value: fmt.Sprintf("%02d:%02d", minute/60, minute%60),
			Want: fmt.Sprintf("the time that stands behind the day, %02d:%02d, or pass one of the two over", behind/60, behind%60)}
	}
	if minute < 0 {
		return nil
	}
	w := &f.writing
	if minute == 0 && f.survey() && w.daysOnly {
		w.passed = true
		return nil
	}
	if row.Minute = minute; !w.surveyed {
		w.timed++
		if minute > 0 {
			w.midday++
		}
	}
	return nil
}

// clockShape reports whether a number with a mark may be a fraction of a day, as
// spreadsheets keep times, and whether it may be hours and minutes.
func clockShape(cell []byte) (fraction, clock bool) {
	i := bytes.IndexAny(cell, ".,")
	if i < 1 || i > 2 {
		return false, false
	}
	for _, c := range cell[i+1:] {
		if !digit(c) {
			return false, false
		}
	}
	decimals := len(cell) - i - 1
	fraction = i == 1 && cell[0] == '0' && decimals > 0
	clock = cell[i] == '.' && decimals == 2 && digit(cell[0]) && digit(cell[i-1])
	return fraction, clock
}

// parseClock reads a time of the day: 7:40, 07:40:12.5, 7:40 pm, 7.40 p.m.,
// 7h40, 0740. It returns the minute of the day.
func parseClock(cell []byte) (int, bool) {
	cell, half := cutHalfOfDay(cell)
	i := bytes.IndexAny(cell, ":.h")
	if i < 0 {
		if hour, ok := smallNumber(cell); ok && half != 0 && len(cell) <= 2 { // 7 pm
			return clockMinute(hour, 0, half)
		} else if ok && half == 0 && len(cell) == 4 && hour%100 < 60 { // 0740
			return clockMinute(hour/100, hour%100, 0)
		}
		return 0, false
	}
	mark, rest := cell[i], cell[i+1:]
	seconds := []byte("0")
	if j := bytes.IndexByte(rest, mark); j >= 0 {
		rest, seconds = rest[:j], rest[j+1:]
	}
	hour, okH := smallNumber(cell[:i])
	minute, okM := smallNumber(rest)
	s, err := figure.Either.ReadBytes(seconds)
	if !okH || !okM || err != nil || len(rest) != 2 || minute > 59 || s < 0 || s >= 61 {
		return 0, false
	}
	return clockMinute(hour, minute, half)
}

// cutHalfOfDay takes am or pm off a time: 'a', 'p', or 0 for neither.
func cutHalfOfDay(cell []byte) ([]byte, byte) {
	if n := len(cell); n == 0 || cell[n-1] != 'm' && cell[n-1] != 'M' && cell[n-1] != '.' {
		return cell, 0
	}
	for _, suffix := range []string{"am", "a.m.", "pm", "p.m."} {
		if n := len(cell) - len(suffix); n > 0 && bytes.EqualFold(cell[n:], []byte(suffix)) {
			// Some programs put a narrow space before it.
			return bytes.TrimRight(cell[:n], " \u00a0\u202f"), suffix[0]
		}
	}
	return cell, 0
}

func clockMinute(hour, minute int, half byte) (int, bool) {
	switch {
	case half != 0 && (hour < 1 || hour > 12), hour > 23:
		return 0, false
	case half == 'a' && hour == 12:
		hour = 0
	case half == 'p' && hour < 12:
		hour += 12
	}
	return 60*hour + minute, true
}

// offsetLayouts are instants with an offset from UTC behind them; the first with
// figures alone, as ISO 8601 writes them, the others as RFC 5322 does.
var offsetLayouts = []string{
	"2006-01-02T15:04:05Z07:00", "2006-01-02 15:04:05Z07:00", "2006-01-02T15:04Z07:00", "2006-01-02 15:04Z07:00",
	"2006-01-02T15:04:05Z0700", "2006-01-02T15:04Z0700", "2006-01-02 15:04:05 Z0700", "2006-01-02 15:04:05 Z07:00", "2006-01-02 15:04 Z0700", "2006-01-02 15:04 Z07:00",
	"20060102T150405Z0700", time.RFC1123Z, "2 Jan 2006 15:04:05 -0700",
}

// parseOffset reads an instant with an offset from UTC behind it, or with UTC or
// GMT, and returns it on the place's clock; false where there is no offset.
func parseOffset(cell []byte, zone *time.Location) (record.Date, int, bool) {
	for _, utc := range []string{"UTC", "GMT"} {
		if rest, ok := bytes.CutSuffix(cell, []byte(utc)); ok {
			cell = append(bytes.TrimRight(bytes.Clone(rest), " "), " +0000"...)
		}
	}
	n := len(cell)
	if n < 16 || cell[n-1] != 'Z' && cell[n-6] != '+' && cell[n-6] != '-' && cell[n-5] != '+' && cell[n-5] != '-' {
		return 0, 0, false
	}
	for _, layout := range offsetLayouts {
		if t, err := time.Parse(layout, string(cell)); err == nil {
			return onClock(t, zone)
		}
	}
	return 0, 0, false
}

// onClock puts an instant on the clock of the place.
func onClock(t time.Time, zone *time.Location) (record.Date, int, bool) {
	local := t.In(zone)
	return record.DateOf(local), local.Hour()*60 + local.Minute(), local.Year() > 0
}
