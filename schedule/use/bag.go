package use

import (
	"errors"
	"slices"

	"limekeep/schedule/record"
)

// ErrSharedGrinding says that a machine is served by more than one grinder, so
// that the bags of one do not say what the machine used.
var ErrSharedGrinding = errors.New("another grinder grinds for the same machine")

// ErrOpeningUnknown says that nothing tells from when on a bag was used.
var ErrOpeningUnknown = errors.New("nothing says when the bag was opened; give the day, or write down every bag from here on")

// correctByBags makes the days agree with the bags of coffee that were
// finished, grinder by grinder.
func correctByBags(book *record.Book, pasts map[string]*past) []Total {
	var totals []Total
	equipment := book.Equipment()
	for _, e := range equipment {
		if e.Grinder == nil {
			continue
		}
		for _, t := range bagTotals(book.Bags(e.ID), e.ID) {
			if t.Wrong == nil && sharesMachine(equipment, e) {
				t.Wrong = ErrSharedGrinding
			}
			if t.Wrong == nil {
				sds := [classes]float64{writtenDown: doseLogSD, correctedBefore: doseLogSD, byHabit: habitSpread(pick(pasts, e.Grinder.Serves))}
				t.Accounted, t.Rest = correct(pick(pasts, e.Grinder.Serves), t.From, t.To, t.Measured,
					func(d Day) float64 { return d.Kilograms }, sds,
					func(d Day, c class, factor float64) Day {
						if c == writtenDown {
							d.Kilograms *= factor
							return d
						}
						return d.drunk(factor)
					})
			}
			totals = append(totals, t)
		}
	}
	return totals
}

// groundDays is over how many days bags tell what a grinder grinds.
const groundDays = 365

// GroundPerDay returns the kilograms a day that went through a grinder by its bags of the
// last year, oldest first; 0 where they tell nothing.
func GroundPerDay(bags []record.Dated[record.Bag], today record.Date) float64 {
	kilograms := 0.0
	var from, to record.Date
	for _, t := range bagTotals(bags, "") {
		if t.Wrong != nil || t.To <= today-groundDays || t.To > today {
			continue
		}
		if from.IsZero() {
			from = t.From
		}
		to, kilograms = max(to, t.To), kilograms+t.Measured
	}
	return kilograms / float64(to-from+1)
}

// bagTotals turns a grinder's bags into totals. Bags that were open at the same
// time make one total.
func bagTotals(bags []record.Dated[record.Bag], grinder string) []Total {
	var totals []Total
	for i, b := range bags {
		t := Total{Of: grinder, Records: []int64{b.ID}, From: b.Body.Opened, To: b.On, Measured: b.Body.Grams / 1000}
		switch {
		case !t.From.IsZero():
		case i > 0:
			t.From = min(bags[i-1].On+1, t.To)
		default:
			t.From, t.Wrong = t.To, ErrOpeningUnknown
		}
		totals = append(totals, t)
	}
	slices.SortStableFunc(totals, func(a, b Total) int { return int(a.From - b.From) })
	var merged []Total
	for _, t := range totals {
		last := len(merged) - 1
		if last >= 0 && t.Wrong == nil && merged[last].Wrong == nil && t.From <= merged[last].To {
			merged[last].Records = append(merged[last].Records, t.Records...)
			merged[last].To = max(merged[last].To, t.To)
			merged[last].Measured += t.Measured
			continue
		}
		merged = append(merged, t)
	}
	return merged
}

func sharesMachine(equipment []record.Equipment, grinder record.Equipment) bool {
	for _, e := range equipment {
		if e.Grinder == nil || e.ID == grinder.ID {
			continue
		}
		for _, m := range e.Grinder.Serves {
			if slices.Contains(grinder.Grinder.Serves, m) {
				return true
			}
		}
	}
	return false
}
