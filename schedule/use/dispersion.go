package use

// dispersion is how much more days differ than chance alone makes them: the
// variance of a day's shots by their mean.
type dispersion struct{ squares, days float64 }

const (
	usualDispersion = 1.3  // days of a household by a habit (assumption)
	dispersionDays  = 14.0 // the weight of that, in days
	dispersionKeeps = 0.985
	// A day far off counts no more than this: a party, or the change of a habit.
	mostSquare = 12.0
)

func newDispersion() dispersion {
	return dispersion{squares: usualDispersion * dispersionDays, days: dispersionDays}
}

func (d *dispersion) see(shots, expected float64) {
	if expected <= 0 {
		return
	}
	d.squares = d.squares*dispersionKeeps + min(mostSquare*d.factor(), (shots-expected)*(shots-expected)/expected)
	d.days = d.days*dispersionKeeps + 1
}

func (d *dispersion) factor() float64 { return max(0.5, d.squares/d.days) }
