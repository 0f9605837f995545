package wear

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
)

// lifeTruth is what is true of one invented household's part: drawn by code of
// its own, from the catalogue's limits.
type lifeTruth struct {
	random    *rand.Rand
	low, high float64 // logarithms of the limit over the usual one, one chance in ten each
	usual     float64
	household float64 // standard normal that all parts share
	own       float64 // how much of the variance each part has of its own
}

// limit draws the limit of one more part.
func (l *lifeTruth) limit() float64 {
	z := math.Sqrt(1-l.own)*l.household + math.Sqrt(l.own)*l.random.NormFloat64()
	const z90 = 1.2815515655446004 // of the standard normal
	if z < 0 {
		return l.usual * math.Exp(l.low*z/z90)
	}
	return l.usual * math.Exp(l.high*z/z90)
}

// noted is what somebody writes down of a part that has used so much of its life:
// loose by 0.35, one finding in twenty means nothing (assumptions, those of the
// forecasts).
func noted(r *rand.Rand, reading float64) record.Finding {
	findings := []record.Finding{record.Fresh, record.Worn, record.Failed}
	if r.Float64() < 0.05 {
		return findings[r.IntN(3)]
	}
	switch seen := reading * math.Exp(0.35*r.NormFloat64()); {
	case seen < 0.5:
		return record.Fresh
	case seen < 1.25:
		return record.Worn
	}
	return record.Failed
}

// lived is how the window of a part's last service fared. Days are days at which
// somebody was there: a time away wears nothing.
type lived struct {
	early, late, crossed float64   // days since that service
	past                 []float64 // days of the intervals before it
	whole                bool      // both dates lie before the horizon
	edge                 float64   // by how many days a date may be off for being whole days
}

// holds tells whether the window holds.
func (l lived) holds() bool { return l.crossed >= l.early-l.edge && l.crossed <= l.late }

// width is the window's as a factor.
func (l lived) width() float64 { return l.late / math.Max(1, l.early) }

// manner is when a household does a service.
type manner int

const (
	byClock  manner = iota // at about the usual life
	bySight                // when whoever looks takes the part's time to have come, as loosely as people do
	onTheDay               // on the day on which its time has come
)

func (m manner) String() string {
	return [...]string{"by the clock", "by sight", "on the day"}[m]
}

// burrs are the task of changing them, at so many grams a shot.
const (
	burrs     = "burr-replacement"
	doseGrams = 18
)

// fallsByDrinks tells whether a duty falls due by what is drunk.
func fallsByDrinks(d care.Duty) bool {
	return d.Gauges[0].Driver == care.ByShots || d.Gauges[0].Driver == care.ByKilograms
}

// live lets a household care for a part for some services. Every third is away once for
// 14 to 200 days, since its last service or before, and writes that down.
func live(t *testing.T, catalogue *care.Catalogue, task string, seed int, own float64, findings int, logs bool, when manner) lived {
	t.Helper()
	r := rand.New(rand.NewPCG(uint64(seed), 77))
	const worlds = 200
	shots := 4 + 16*r.Float64()
	hours := 3 + 5*r.Float64()
	machine := record.Equipment{ID: "machine", Machine: &record.Machine{
		Setting: record.Home, Groups: []record.Group{{ID: "group", ThreeWayValve: true, Gasket: record.EPDM}},
		Habit: record.Habit{WeekdayShots: shots, WeekendShots: shots, HotHours: hours},
	}}
	machine.Bought = today - 40*365
	equipment := []record.Equipment{machine}
	if task == burrs { // at a household that wears them out within what a forecast reaches
		shots = 20 + 30*r.Float64()
		machine.Machine.Habit.WeekdayShots, machine.Machine.Habit.WeekendShots, machine.Machine.Habit.DoseGrams = shots, shots, doseGrams
		equipment = append(equipment, record.Equipment{ID: "grinder", Grinder: &record.Grinder{
			Setting: record.Home, Drive: record.MotorDriven, Geometry: record.ConicalBurrs, DiameterMM: 48, Serves: []string{"machine"},
		}})
	}
	var duty care.Duty
	for _, d := range catalogue.Duties(equipment) {
		if d.Task.ID == task {
			duty = d
		}
	}
	duty.Gauges = duty.Gauges[:1]
	limit := duty.Gauges[0].Limit
	daily := map[care.Driver]float64{care.ByShots: shots, care.ByKilograms: shots * doseGrams / 1000, care.BySealHours: hours, care.ByDays: 1}[duty.Gauges[0].Driver]
	// What nobody wrote down differs from the habit by as much as the forecast allows.
	course := use.NewTimeline(record.NewBook(today, nil, nil), machine, today-1, today)
	truly := 1.0
	switch {
	case fallsByDrinks(duty) && !logs:
		truly = math.Exp(course.Spread.Future * r.NormFloat64())
	case duty.Gauges[0].Driver == care.BySealHours: // which nobody writes down
		truly = math.Exp(course.Spread.Hours * r.NormFloat64())
	}
	truth := lifeTruth{random: r, usual: limit.Usual, low: math.Log(limit.Usual / limit.Low), high: math.Log(limit.High / limit.Usual), household: r.NormFloat64(), own: own}
	// Services at about the usual life, the last a tenth of one ago.
	usualDays := limit.Usual / daily
	lives := make([]record.Date, findings)
	total := record.Date(0)
	limits := make([]float64, findings) // of the parts before, where they decide when a service is done
	for i := range lives {
		days := usualDays * math.Exp(0.3*r.NormFloat64())
		if when != byClock {
			limits[i] = truth.limit()
			days = limits[i] / (daily * truly)
		}
		if when == bySight {
			days *= math.Exp(partFuzz * r.NormFloat64())
		}
		lives[i] = max(2, record.Date(days))
		total += lives[i]
	}
	away, during := record.Date(0), len(lives) // days, and in which interval
	if seed%3 == 0 && daily != 1 {
		away = record.Date(14 + r.IntN(187))
		if seed%2 == 0 {
			during = r.IntN(len(lives) + 1)
		}
	}
	last := today - record.Date(0.1*usualDays)
	if during == len(lives) {
		last -= away
	}
	on := last - total
	if during < len(lives) {
		on -= away
	}
	duty.Since, duty.Fitted = on, on
	machine.Bought = on
	for i := range equipment {
		equipment[i].Bought = on
		if equipment[i].ID == duty.Equipment.ID {
			duty.Equipment = equipment[i]
		}
	}
	h := &Household{
		Draws: Draws{Place: fmt.Sprint("levels ", seed), Worlds: worlds}, Today: today, Equipment: equipment, Duties: []care.Duty{duty},
		Services: map[string][]record.Dated[record.Service]{}, Planned: map[string]record.Date{},
	}
	var leave record.Away
	for i, life := range lives {
		if away > 0 && i == during {
			leave = record.Away{From: on + 1, To: on + away}
			on += away
		}
		on += life
		var found record.Finding
		if when != byClock {
			found = record.Worn // that is why it was done
		} else {
			found = noted(r, truly*daily*float64(life)/truth.limit())
		}
		h.Services[duty.ID] = append(h.Services[duty.ID], record.Dated[record.Service]{ID: int64(i + 1), On: on, Body: record.Service{Task: duty.ID, Finding: found}})
	}
	var entries []record.Entry
	var days []record.UseDay
	since := 0.0 // days away since the last service
	if away > 0 {
		if during == len(lives) {
			leave, since = record.Away{From: on + 1, To: on + away}, float64(away)
		}
		entries = append(entries, record.Entry{ID: 2, Effective: leave.From, Body: leave})
	}
	if logs {
		entries = append(entries, record.Entry{ID: 1, Effective: machine.Bought, Body: record.UseBatch{Machine: "machine", From: machine.Bought, To: today, Rows: int(today-machine.Bought) + 1}})
		for d := machine.Bought; d <= today; d++ {
			if away == 0 || !leave.Covers("machine", d) {
				days = append(days, record.UseDay{Machine: "machine", Date: d, Shots: shots})
			}
		}
	}
	h.Timelines = map[string]*use.Timeline{"machine": use.NewTimeline(record.NewBook(today, entries, days), machine, machine.Bought, today.AddMonths(12*HorizonYears))}
	outcomes, err := Forecast(context.Background(), h)
	if err != nil {
		t.Fatal(err)
	}
	w := outcomes[0].Window
	if w.Early.IsZero() || w.Late.IsZero() {
		return lived{}
	}
	future := truly
	if fallsByDrinks(duty) && logs {
		future = math.Exp(h.Timelines["machine"].Spread.Future * r.NormFloat64())
	}
	if duty.Gauges[0].Driver == care.BySealHours { // as many as the habit makes of it
		daily = 0
		for i := range record.Date(28) {
			daily += h.Timelines["machine"].On(today+1+i).HotHours / 28
		}
	}
	crossed := float64(on) + since + truth.limit()/(daily*truly)
	if crossed > float64(today) {
		crossed = float64(today) + (crossed-float64(today))*truly/future
	}
	there := float64(on) + since
	l := lived{early: max(1, float64(w.Early)-there), late: max(1, float64(w.Late)-there), crossed: crossed - there, whole: true, edge: 1}
	for _, life := range lives {
		l.past = append(l.past, float64(life))
	}
	return l
}
