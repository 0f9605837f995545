package wear

import (
	"context"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// A crust of 30 g found five days after a vessel was new: so little lime was fed by
// then that no world explains it. It is known to be unexpected, and the next date does
// not stay where it was. A film after a year is what was to be expected, and so is not.
func TestUnexpectedFindingMovesTheNextDate(t *testing.T) {
	const task = "machine/descale/steam"
	forecast := func(fitted, on record.Date, found record.Service) Outcome {
		h := newKitchen(t).household()
		for i := range h.Duties {
			if h.Duties[i].ID == task {
				h.Duties[i].Fitted, h.Duties[i].Since = fitted, fitted
			}
		}
		found.Task = task
		h.Services[task] = []record.Dated[record.Service]{{ID: 7, On: on, Body: found}}
		outcomes, err := Forecast(context.Background(), h)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range outcomes {
			if o.Duty.ID == task {
				return o
			}
		}
		t.Fatal("no such task")
		return Outcome{}
	}
	fitted, on := today-5, today
	silent := forecast(fitted, on, record.Service{})
	crust := forecast(fitted, on, record.Service{Finding: record.Crust, Grams: 30})
	o := crust.Learned.Observed[0]
	if o.Chance >= 0.001 || !o.More || o.On != on {
		t.Errorf("it had one chance in %.0f, more than expected %t", 1/o.Chance, o.More)
	}
	was, is := silent.Window, crust.Window
	if is.Likely == 0 || was.Likely != 0 && float64(is.Likely-today) > 0.8*float64(was.Likely-today) {
		t.Errorf("the next date goes from %s to %s", was.Likely, is.Likely)
	}
	film := forecast(today-400, on, record.Service{Finding: record.Film})
	if o := film.Learned.Observed[0]; o.Chance < Unexpected {
		t.Errorf("a film after a year is taken to be unexpected, one chance in %.0f", 1/o.Chance)
	}
}

// A little more found never makes a finding more likely or a date jump: as grams grow
// from what is usual to what nobody expects, the share that ends as scale rises without
// a step.
func TestSurpriseGrowsWithoutASteps(t *testing.T) {
	g := &dutyGauge{Gauge: &scaleGauge{prior: depositMultiplier, eyeMM: 0.02}, kind: care.Deposited}
	last := 0.0
	for grams := 1.0; grams < 300; grams *= 1.05 {
		worlds := [][]observation{{{state: State{Amount: 10, Factor: 1, Limit: 1}, found: record.Service{Grams: grams}}}}
		all := overWorlds(worlds)
		surprises(g, worlds, all)
		p := newPosterior(g.Unknown())
		p.learn(g, worlds)
		now := p.points().Likely
		if last > 0 && (now < 0.9*last || now > 1.25*last) {
			t.Errorf("at %.1f g the share goes from %.3f to %.3f", grams, last, now)
		}
		last = now
	}
}
