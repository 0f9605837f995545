package plan

import (
	"fmt"
	"slices"

	"limekeep/schedule/record"
)

// CannotMeet is what a plan cannot meet, why, and what would help.
type CannotMeet struct {
	Task   string      // empty where it is about a whole sitting
	Turn   int         // 1 for the next
	Later  []int       // turns of the task behind it that cannot be met either
	Late   record.Date // its late date; zero where that is not what cannot be met
	On     record.Date // when it is planned all the same; zero for not at all
	Reason string      // a sentence
	WayOut string      // a sentence
}

// cannotMeet lists what a draft cannot meet: turns past their late date or
// without a place, unless they are caught up with, and sittings that the owner
// filled beyond their slot. What harms nothing and had room before, but waits for
// work that it shares a sitting with, could be met: it is not among them. Of a task
// there is one, however many turns it is about.
func (r *Request) cannotMeet(m *model, d *draft) []CannotMeet {
	var all []CannotMeet
	for i := range r.Tasks {
		t := &r.Tasks[i]
		from := -1
		events := r.events(d.ways[i], m.covers[i])
		for turn := 0; turn <= len(events); turn++ {
			late := r.lateAfter(t, from)
			to, day := m.n, float64(r.Until-r.Today)
			var on record.Date
			if turn < len(events) {
				to = events[turn].slot
				on = r.date(to)
				day = float64(on - r.Today)
			}
			caughtUp := turn == 0 && on != 0 && on <= r.upTo && slices.Contains(r.upOn, t.ID)
			switch {
			case day > late && !caughtUp && len(all) > 0 && all[len(all)-1].Task == t.ID:
				c := &all[len(all)-1]
				c.Later = append(c.Later, turn+1+t.ahead)
			case day > late && !caughtUp:
				c := CannotMeet{Task: t.ID, Turn: turn + 1 + t.ahead, Late: r.Today + record.Date(late), On: on}
				if c.Reason, c.WayOut = r.why(m, d, i, from, to, turn, late); c.Reason != "" {
					all = append(all, c)
				}
			case turn == 0 && to == m.n && t.dueWithin(r):
				c := CannotMeet{Task: t.ID, Turn: 1 + t.ahead}
				c.Reason, c.WayOut = r.noPlace(m, i)
				all = append(all, c)
			}
			from = to
		}
		if n := len(all); n > 0 && all[n-1].Task == t.ID && len(all[n-1].Later) > 0 {
			all[n-1].Reason += alsoLater(len(all[n-1].Later))
		}
	}
	for s := range m.room {
		pinned := slices.ContainsFunc(d.sets[s], func(t int) bool { return r.Tasks[t].On == r.date(s) && !r.Tasks[t].settled })
		if elapsed := m.clock.elapsed(d.sets[s]); pinned && elapsed > r.Slots[s].Minutes+roomy {
			all = append(all, CannotMeet{
				On:     r.date(s),
				Reason: fmt.Sprintf("You fixed work for %.0f minutes on %s, where the slot has %.0f: the sitting runs over.", elapsed, r.date(s).Long(), r.Slots[s].Minutes),
				WayOut: "Take more time that day, or fix some of it on another.",
			})
		}
	}
	return all
}

// alsoLater says of how many later turns the same is true.
func alsoLater(n int) string {
	if n == 1 {
		return " The same goes for one later turn of it."
	}
	return fmt.Sprintf(" The same goes for %d later turns of it.", n)
}

// dueWithin tells whether the likely date of a task's next turn lies within the
// plan, or is past.
func (t *Task) dueWithin(r *Request) bool {
	due := t.Due[LikelyQuantile]
	return due != 0 && due < r.Until
}

// noPlace says why a turn whose late date lies beyond the plan has no place, and
// what would help.
func (r *Request) noPlace(m *model, i int) (reason, wayOut string) {
	t := &r.Tasks[i]
	switch {
	case m.n == 0:
		return "No preferred time lies within the plan that is not blocked.", addTime(m.clock.elapsed([]int{i}))
	case t.After >= r.date(m.n-1) && t.ahead == 0 && t.Held:
		return fmt.Sprintf("It waits for what stands on %s, the last slot of the plan.", t.After.Long()), addTime(m.clock.elapsed([]int{i}))
	case t.After >= r.date(m.n-1) && t.ahead == 0:
		return fmt.Sprintf("You put it off beyond %s, the last slot of the plan.", r.date(m.n-1).Long()), "Leave its day to the plan."
	}
	if slots := r.slotsAfter(t.After); t.Held && t.ahead == 0 && slots < m.n {
		return fmt.Sprintf("It waits for what stands on %s, and %s has room for it.", t.After.Long(), noneBehind(slots)), addTime(m.clock.elapsed([]int{i}))
	}
	if m.n == 1 {
		return "The only slot of the plan has no room for it.", addTime(m.clock.elapsed([]int{i}))
	}
	return fmt.Sprintf("None of the %d slots of the plan has room for it.", m.n), addTime(m.clock.elapsed([]int{i}))
}

// slotsAfter counts the slots after a day.
func (r *Request) slotsAfter(day record.Date) int {
	n := 0
	for s := range r.Slots {
		if r.date(s) > day {
			n++
		}
	}
	return n
}

// noneBehind says of slots behind one that none of them has something.
func noneBehind(slots int) string {
	if slots == 1 {
		return "not even the only slot after that"
	}
	return fmt.Sprintf("none of the %d slots after that", slots)
}

// noneOf begins a sentence on slots before a late date.
func noneOf(slots int, late record.Date, minutes float64) string {
	if slots == 1 {
		return fmt.Sprintf("The only slot before its late date, %s, has no room for its %.0f minutes", late.Long(), minutes)
	}
	return fmt.Sprintf("None of the %d slots before its late date, %s, has room for its %.0f minutes", slots, late.Long(), minutes)
}

// minutesOf returns the minutes of hands and waits of a set, one task after the other.
func (m *model) minutesOf(set []int) float64 {
	sum := 0.0
	for _, t := range set {
		sum += m.whole[t]
	}
	return sum
}

// addTime says which preferred time would help.
func addTime(minutes float64) string {
	return fmt.Sprintf("A preferred time more, or a longer one, would hold it: it takes %.0f minutes. Or fix it on a day of its own.", minutes)
}

// why says why a turn of a task lies past its late date, or there is none, and
// what would help; nothing where it only waits for company.
func (r *Request) why(m *model, d *draft, i, from, to, turn int, late float64) (reason, wayOut string) {
	t := &r.Tasks[i]
	lateDay := r.Today + record.Date(late)
	const earlier = "Fix it on an earlier day, or add a preferred time before."
	first := turn == 0 && t.ahead == 0
	if first {
		switch {
		case late < 0 && to < m.n:
			return fmt.Sprintf("It was past its late date, %s, before today.", lateDay.Long()), "It stands on the first day that the plan has for it; do it sooner if you can, or add a preferred time before."
		case t.On > lateDay && !t.settled:
			return fmt.Sprintf("You fixed it on %s, after its late date, %s.", t.On.Long(), lateDay.Long()), "Fix it on an earlier day, or leave its day to the plan."
		case t.After >= lateDay && t.Held:
			return fmt.Sprintf("It waits for what stands on %s, and its late date is %s.", t.After.Long(), lateDay.Long()), earlier
		case t.After >= lateDay:
			return fmt.Sprintf("You put it off beyond %s, its late date.", lateDay.Long()), "Leave its day to the plan."
		case late < 0:
			return r.noPlace(m, i)
		}
	}
	full, early := 0, 0
	var held, waits bool // by the minutes of catching up, and by heating or cooling between
	for s := from + 1; s < to && s < m.n; s++ {
		if day := r.date(s); day <= lateDay && (turn > 0 || day > t.After) {
			early++
			if !d.fitsSlot(r, i, s) {
				full++
				set := including(d.sets[s], i)
				held = held || m.clock.elapsed(set) <= r.Slots[s].Minutes+roomy
				waits = waits || m.minutesOf(set) <= r.Slots[s].Minutes+roomy
			}
		}
	}
	switch {
	case early == 0 && first && t.After > r.Today && t.Held:
		return fmt.Sprintf("It waits for what stands on %s, and no slot lies between that and its late date, %s.", t.After.Long(), lateDay.Long()), earlier
	case early == 0 && first && t.After > r.Today:
		return fmt.Sprintf("You put it off beyond %s, and no slot lies between that and its late date, %s.", t.After.Long(), lateDay.Long()), "Leave its day to the plan, or add a preferred time."
	case early == 0:
		return fmt.Sprintf("No slot lies before its late date, %s.", lateDay.Long()), earlier
	case full == early:
		minutes := m.clock.elapsed([]int{i})
		reason := noneOf(early, lateDay, minutes)
		if first && t.Held && t.After >= r.date(0) {
			reason = fmt.Sprintf("It waits for what stands on %s, and %s up to its late date, %s, has room for its %.0f minutes", t.After.Long(), noneBehind(early), lateDay.Long(), minutes)
		}
		switch {
		case held:
			return fmt.Sprintf("%s within the %.0f minutes a week of catching up.", reason, r.PerWeek()), "Take more minutes a week for catching up, or fix it on a day of its own."
		case waits:
			return reason + ": beside what is done there, with heating and cooling between, it would take longer than the slot.", addTime(minutes)
		}
		return reason + ".", addTime(minutes)
	}
	if to < m.n && t.Rank == Comfort && t.On == 0 && t.After < lateDay && len(m.covers[i]) == 0 {
		return "", ""
	}
	return fmt.Sprintf("What you fixed, or what covers it, leaves no slot before its late date, %s.", lateDay.Long()), earlier
}
