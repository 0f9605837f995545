package use

import "limekeep/schedule/record"

// habits are the habits of one machine one after the other, the oldest first.
// The first counts for all days before it too.
type habits []drinks

// habitsOf gathers the habits that were stated of a machine. A habit without a
// day on which it began corrects all that was said before it.
func habitsOf(book *record.Book, machine record.Equipment) habits {
	var hs habits
	say := func(m *record.Machine) {
		d := habitOf(m)
		if m.Habit.Since.IsZero() {
			hs = hs[:0]
		}
		for len(hs) > 0 && hs[len(hs)-1].habit.Since >= m.Habit.Since {
			hs = hs[:len(hs)-1]
		}
		hs = append(hs, d)
	}
	for _, v := range book.Versions(machine.ID) {
		if v.Body.Machine != nil {
			say(v.Body.Machine)
		}
	}
	// The machine as it was handed over is the newest version, or the only one
	// known.
	say(machine.Machine)
	return hs
}

// index tells which of the habits counts on a day.
func (hs habits) index(on record.Date) int {
	i := len(hs) - 1
	for i > 0 && on < hs[i].habit.Since {
		i--
	}
	return i
}

// on returns the habit that counts on a day.
func (hs habits) on(d record.Date) drinks { return hs[hs.index(d)] }
