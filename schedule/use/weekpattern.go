package use

import (
	"time"

	"limekeep/schedule/record"
)

// weekPattern is how the days of the week differ from what the habit says of them, as
// factors that are 1 on the whole.
type weekPattern struct {
	seen, expected [7]float64 // shots by the factor then, and by habit, both fading
	habit          [7]float64 // shots by habit
}

const (
	weekKeeps = 0.85 // what is left of a weekday's past when it comes round again: about six weeks
	weekPrior = 2.0  // how many of them the habit weighs
)

// newWeekPattern knows the habit alone.
func newWeekPattern(habit drinks) weekPattern {
	w := weekPattern{habit: habit.byWeekday()}
	// A weekday on which the habit has nothing may turn out to have something.
	mean := w.mean()
	if mean == 0 {
		mean = 1
	}
	for i := range w.habit {
		w.habit[i] = max(w.habit[i], leastOfMean*mean)
		// The habit counts as so many weekdays seen, and fades like them.
		w.seen[i], w.expected[i] = weekPrior*w.habit[i], weekPrior*w.habit[i]
	}
	return w
}

// leastOfMean is what a day without shots by habit counts as, by the mean of
// the week (assumption).
const leastOfMean = 0.02

func (w *weekPattern) mean() float64 {
	sum := 0.0
	for _, h := range w.habit {
		sum += h
	}
	return sum / 7
}

// see takes a day at a factor on the habit.
func (w *weekPattern) see(on record.Date, shots, factor float64) {
	i := on.Weekday()
	if factor <= 0 {
		return
	}
	w.seen[i] = weekKeeps*w.seen[i] + shots/factor
	w.expected[i] = weekKeeps*w.expected[i] + w.habit[i]
}

// rely takes a day of which nothing is known but the habit.
func (w *weekPattern) rely(on record.Date) {
	i := on.Weekday()
	w.seen[i] = weekKeeps*w.seen[i] + w.habit[i]
	w.expected[i] = weekKeeps*w.expected[i] + w.habit[i]
}

// raw is a weekday's shots before the week is brought back to the habit's sum.
func (w *weekPattern) raw(i time.Weekday) float64 {
	return w.habit[i] * w.seen[i] / w.expected[i]
}

// shots returns the shots of a weekday at factor 1.
func (w *weekPattern) shots(on time.Weekday) float64 {
	sum, all := 0.0, 0.0
	for i := range w.habit {
		sum += w.habit[i]
		all += w.raw(time.Weekday(i))
	}
	if all == 0 {
		return w.habit[on]
	}
	return w.raw(on) * sum / all
}
