package shotlog

import (
	"bytes"
	"io"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/water/figure"
)

// writing is how a file writes what can be written in more ways than one, as far
// as its cells have shown.
type writing struct {
	told           bool // by its owner: nothing is looked for
	mark           figure.Mark
	point, comma   bool // numbers with that decimal mark were seen
	guessed        bool // a number was read by what was seen so far of a file that cannot be looked through
	fractions      bool // times are fractions of a day, as spreadsheets keep them
	clocks         bool // times have hours and minutes with a point between
	dates          orderFinder
	epoch          DayOrder // of serial numbers; AnyOrder where nobody said
	timed, midday  int      // dates with a time, and those not at midnight
	surveyed       bool     // the whole file was looked through
	daysOnly       bool     // all of its times are midnight: it knows the day alone
	serial, passed bool     // dates were serial numbers; times of midnight were passed over
}

// settle takes what the owner says of the decimal mark.
func (w *writing) settle(mark figure.Mark) {
	w.told, w.mark = mark != figure.Either, mark
}

// notes tells what was settled by the way.
func (w *writing) notes() []string {
	var notes []string
	if w.serial {
		from := "1 for 1900-01-01"
		if w.epoch == Serial1904 {
			from = "0 for 1904-01-01"
		}
		notes = append(notes, "dates are a spreadsheet's serial numbers, "+from)
	}
	if w.passed {
		notes = append(notes, "every time is midnight: the days count, and no time")
	}
	return notes
}

// see takes the decimal mark that a number shows.
func (w *writing) see(cell []byte) {
	switch figure.Of(string(cell)) {
	case figure.Point:
		w.point = true
	case figure.Comma:
		w.comma = true
	}
}

// decimal returns the decimal mark where all numbers seen have the same, and
// figure.Either where there is none or there are two.
func (w *writing) decimal() figure.Mark {
	switch {
	case w.told:
		return w.mark
	case w.point && !w.comma:
		return figure.Point
	case w.comma && !w.point:
		return figure.Comma
	}
	return figure.Either
}

// survey looks the whole file through for how it writes, and goes back to where
// it was. It reports whether the file could be looked through.
func (f *Log) survey() bool {
	if f.writing.surveyed {
		return true
	}
	seeker, ok := f.in.(io.ReadSeeker)
	if !ok {
		return false
	}
	at, err := seeker.Seek(0, io.SeekCurrent)
	if err != nil {
		return false
	}
	if _, err := seeker.Seek(0, io.SeekStart); err != nil {
		return false
	}
	f.lookThrough(seeker)
	_, err = seeker.Seek(at, io.SeekStart)
	f.writing.surveyed = err == nil
	return err == nil
}

// lookThrough reads a file for what its cells show of how they are written. At
// what is wrong it stops: the reading proper says what that is.
func (f *Log) lookThrough(in io.Reader) {
	reader, err := csvfile.Open(in)
	if err != nil {
		return
	}
	if _, err := readHeader(reader, f.options); err != nil {
		return
	}
	w := &f.writing
	w.timed, w.midday = 0, 0
	for row := 1; ; row++ {
		cells, err := readText(reader)
		if err != nil {
			break
		}
		for i, cell := range cells {
			if i >= len(f.header.columns) {
				break
			}
			if cell = bytes.TrimSpace(cell); len(cell) == 0 {
				continue
			}
			switch f.header.columns[i] {
			case dateColumn:
				w.dates.see(row, cell)
				w.seeTime(cell)
			case timeColumn:
				w.seeClock(cell)
			case shotsColumn, doseColumn, yieldColumn, steamedColumn, hotWaterColumn, secondsColumn, ratioColumn:
				w.see(numberIn(cell))
			}
		}
	}
	w.daysOnly = w.timed > 0 && w.midday == 0
}

// seeTime looks at the time behind a day.
func (w *writing) seeTime(cell []byte) {
	if serialLike(cell) {
		w.fractions = true
	}
	if _, clock := splitInstant(cell); len(clock) > 0 {
		w.seeMinute(clock)
	}
}

// seeClock looks at a time in a column of its own.
func (w *writing) seeClock(cell []byte) {
	fraction, clock := clockShape(cell)
	w.fractions = w.fractions || fraction && !clock
	w.clocks = w.clocks || clock && !fraction
	w.seeMinute(withoutEpoch(cell))
}

func (w *writing) seeMinute(clock []byte) {
	w.timed++
	if minute, ok := parseClock(clock); !ok || minute != 0 {
		w.midday++
	}
}
