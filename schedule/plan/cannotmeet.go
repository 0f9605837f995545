package plan

import (
	"fmt"

	"limekeep/schedule/record"
)

// CannotMeet is what a plan cannot meet, why, and what would help.
type CannotMeet struct {
	Task   string      // empty where it is about a whole sitting
	Turn   int         // 1 for the next
	Late   record.Date // its late date; zero where that is not what cannot be met
	On     record.Date // when it is planned all the same; zero for not at all
	Reason string      // a sentence
	WayOut string      // a sentence
}

// conflicts lists what a draft cannot meet: turns past their late date, and
// work that is longer than its sitting.
func (r *Request) conflicts(m *model, d *draft) []CannotMeet {
	var all []CannotMeet
	longest := 0.0
	for _, s := range r.Slots {
		longest = max(longest, s.Minutes)
	}
	for i := range r.Tasks {
		t := &r.Tasks[i]
		from := -1
		for turn := 0; turn <= len(d.ways[i]); turn++ {
			late := r.lateAfter(t, from)
			to, day := m.n, float64(r.Until-r.Today)
			var on record.Date
			if turn < len(d.ways[i]) {
				to = d.ways[i][turn]
				on = r.Slots[to].Date()
				day = float64(on - r.Today)
			}
			if day > late {
				all = append(all, CannotMeet{Task: t.ID, Turn: turn + 1, Late: r.Today + record.Date(late), On: on, Reason: r.why(m, d, i, from, to, turn, late)})
			}
			from = to
		}
		if t.Minutes > longest && len(d.ways[i]) > 0 {
			all = append(all, CannotMeet{Task: t.ID, Turn: 1, On: r.Slots[d.ways[i][0]].Date(),
				Reason: fmt.Sprintf("It takes %.0f minutes, and the longest slot has %.0f: it runs over.", t.Minutes, longest)})
		}
	}
	for s := range m.room {
		if m.room[s] > r.Slots[s].Minutes+roomy && d.load[s] > r.Slots[s].Minutes+roomy {
			all = append(all, CannotMeet{On: r.Slots[s].Date(),
				Reason: fmt.Sprintf("You fixed %.0f minutes of work on %s, where the slot has %.0f: the sitting runs over.", d.load[s], r.Slots[s].Date().Long(), r.Slots[s].Minutes)})
		}
	}
	return all
}

// why says why a turn of a task lies past its late date, or there is none.
func (r *Request) why(m *model, d *draft, i, from, to, turn int, late float64) string {
	t := &r.Tasks[i]
	lateDay := r.Today + record.Date(late)
	if turn == 0 {
		switch {
		case late < 0:
			return fmt.Sprintf("It was past its late date, %s, before today.", lateDay.Long())
		case t.On > lateDay:
			return fmt.Sprintf("You fixed it on %s, after its late date, %s.", t.On.Long(), lateDay.Long())
		case t.After >= lateDay:
			return fmt.Sprintf("You put it off beyond %s, its late date.", lateDay.Long())
		}
	}
	full, early := 0, 0
	for s := from + 1; s < to && s < m.n; s++ {
		if day := r.Slots[s].Date(); day <= lateDay {
			early++
			if !d.fits(i, s) {
				full++
			}
		}
	}
	switch {
	case early == 0:
		return fmt.Sprintf("No slot lies before its late date, %s.", lateDay.Long())
	case full == early:
		return fmt.Sprintf("None of the %d slots before its late date, %s, has %.0f minutes left.", early, lateDay.Long(), m.minutes[i])
	}
	return fmt.Sprintf("What you fixed leaves no slot before its late date, %s.", lateDay.Long())
}
