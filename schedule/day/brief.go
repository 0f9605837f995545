package day

import (
	"cmp"
	"slices"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// Brief is what to know of a place on a day, the weightiest first: what is
// wrong, the next sitting, whom to call, what is past, and what comes soon.
type Brief struct {
	Today    record.Date
	Warnings []string
	Next     *SittingInfo // nil where none is planned
	Visits   []VisitInfo  // to be called for within briefDays, or before
	Booked   []BookedInfo // visits that were booked, within briefDays, or missed
	CatchUp  *CatchUpInfo // nil where no weeks are needed for that
	Past     []Due        // past their likely date and neither in the next sitting nor at one of the visits, by the day they are planned for
	Soon     []Due        // likely within briefDays, by the day they are planned for
	Rounds   []RoundInfo
	Unmet    []CannotMeetInfo // of what is past or comes soon, and not in the next sitting
	Later    int              // tasks named nowhere above
	Narrows  *Narrowing       // what would narrow most; nil where nothing that is not known would
}

// briefDays is how far ahead a brief looks.
const briefDays = 31

// Brief returns what to know of the place today.
func (f *Forecast) Brief() Brief {
	p := f.Plan()
	b := Brief{Narrows: f.narrowest(), Today: f.Day.Today, Warnings: f.Warnings(), CatchUp: p.CatchUp, Rounds: p.Rounds}
	told := map[string]bool{}
	tell := func(turns []TurnInfo) {
		for _, t := range turns {
			told[t.Task] = true
			for _, covered := range t.Covers {
				told[covered] = true
			}
		}
	}
	next := map[string]bool{} // as soon as can be, whenever it was due
	if len(p.Sittings) > 0 {
		b.Next = &p.Sittings[0]
		tell(b.Next.Turns)
		for _, t := range b.Next.Turns {
			next[t.Task] = true
		}
	}
	for _, v := range p.Visits {
		if v.CallBy <= b.Today+briefDays {
			b.Visits = append(b.Visits, v)
			tell(v.Turns)
		}
	}
	for _, v := range p.Booked {
		if v.On <= b.Today+briefDays {
			b.Booked = append(b.Booked, v)
			if !v.Missed {
				tell(v.Turns)
			}
		}
	}
	for _, r := range p.Rounds {
		for _, task := range slices.Concat(r.Tasks, r.Covered) {
			told[task] = true
		}
	}
	shown := map[string]bool{}
	for _, d := range f.Due() {
		switch {
		case told[d.Task]:
			shown[d.Task] = true
		case d.Overdue:
			b.Past = append(b.Past, d)
			shown[d.Task] = true
		case d.Likely != nil && *d.Likely <= b.Today+briefDays:
			b.Soon = append(b.Soon, d)
			shown[d.Task] = true
		default:
			b.Later++
		}
	}
	for _, list := range [][]Due{b.Past, b.Soon} {
		slices.SortStableFunc(list, func(x, y Due) int { return cmp.Compare(x.plannedOn(), y.plannedOn()) })
	}
	for _, c := range p.CannotMeet {
		if c.Turn <= 1 && (shown[c.Task] || c.Task == "") && !next[c.Task] {
			b.Unmet = append(b.Unmet, c)
		}
	}
	return b
}

// plannedOn is the day on which a task is planned, and after all others where it
// is not.
func (d Due) plannedOn() record.Date {
	switch {
	case d.Booked != nil:
		return d.Booked.On
	case d.Sitting != nil:
		return record.DateOf(*d.Sitting)
	case d.Visit != nil:
		return *d.Visit
	}
	return schedule.EndOfTime
}
