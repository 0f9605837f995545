package wear_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"testing"
	"time"

	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/water"
	"limekeep/water/deposit"
	"limekeep/water/equilibrium"
	"limekeep/water/inference"
)

// truth is what is true of an invented household and nobody in it knows. It is
// drawn from the same priors as the worlds of a forecast, but by code of its
// own: its own chance, its own days, chemistry solved afresh.
type truth struct {
	supply  water.Totals // on the day of the test
	drift   []float64    // natural logarithm of the concentration, day by day
	offset  float64      // standard normal of the saturation index of calcite
	brucite bool
	vessels map[string]vesselTruth
	days    *use.Timeline // what was and will be drunk
	beyond  surprise
}

// vesselTruth is what is true of one vessel.
type vesselTruth struct {
	multiplier, porosity   float64
	limitMM, limitGrams    float64
	mmPerGram, wallCelsius float64
	eyeMMPerGram           float64 // at the porosity that people take scale to have
}

// surprise is what no world of a forecast allows for.
type surprise struct {
	database bool    // calcite by another database
	deposit  float64 // times the multiplier
	changed  record.Date
	factor   float64 // times the concentration from that day on
}

// street is a row of households in which the same was written down: the same
// machine with the same habit, bought and descaled on the same days, the same
// water test. What is true differs from door to door.
type street struct {
	number    int
	place     string
	bought    record.Date
	services  []record.Date // days of two descalings
	equipment []record.Equipment
	test      record.Dated[record.WaterTest]
	waters    *pool
	forebear  int       // the water of the pool that the test was taken of
	weights   []float64 // of the pool's waters, running total: how well each explains the test
}

// household is one door of a street, with the truth behind it.
type household struct {
	*street
	random *rand.Rand
	logged []record.UseDay
	truth  truth
}

// now is the day that the simulations take for today.
var now = record.NewDate(2026, time.March, 2)

// How long ago the machines were bought.
const (
	leastPastDays = 365
	mostPastDays  = 5 * 365
)

// pool is a large draw of drinking waters from the prior; households take their
// truths from it.
type pool struct {
	set    inference.Set
	totals []water.Totals
}

func newPool(t testing.TB, n int) *pool {
	t.Helper()
	p := &pool{set: inference.Unmeasured(n, func(i, dimension int) float64 {
		return rand.New(rand.NewPCG(uint64(i), uint64(dimension)+77)).Float64()
	})}
	solver := equilibrium.NewSolver()
	for _, a := range p.set.Analyses {
		s, err := solver.Speciate(a)
		if err != nil {
			t.Fatal(err)
		}
		p.totals = append(p.totals, s.Totals)
	}
	return p
}

// between draws from a log-normal on either side of its middle, given its 10,
// 50 and 90 % points.
func between(r *rand.Rand, low, middle, high float64) float64 {
	const z90 = 1.2815515655446004 // of the standard normal
	z := r.NormFloat64() / z90
	if z < 0 {
		return middle * math.Pow(low/middle, -z)
	}
	return middle * math.Pow(high/middle, z)
}

// newStreet draws a street whose test says that its water is hard enough to
// matter. What a test says is known to everybody, so that choosing by it leaves
// the windows as honest as they were.
//
// It descales so often, two times or more, the last time some months ago.
func newStreet(t testing.TB, p *pool, number, descalings int) *street {
	t.Helper()
	r := rand.New(rand.NewPCG(uint64(number), 20260302))
	s := &street{number: number, place: fmt.Sprintf("street %d", number), waters: p}
	s.bought = now - leastPastDays - record.Date(r.IntN(mostPastDays-leastPastDays))
	tested := s.bought + record.Date(r.IntN(int(now-s.bought)+1))
	for s.weights == nil {
		s.forebear = p.set.Pick(r.Float64())
		if s.measure(t, r); s.hard() {
			s.weigh(t)
		}
	}
	s.test.On = tested
	s.equip(r)
	last := now - record.Date(30+r.IntN(200))
	span := int(last - s.bought)
	between := func(least, most int) record.Date { return s.bought + record.Date(least+r.IntN(max(1, most-least))) }
	if descalings == 2 {
		s.services = []record.Date{between(span/3, span/3*2)}
	} else {
		for i := range descalings - 1 {
			s.services = append(s.services, between(span*(2*i+1)/(2*descalings), span*(i+1)/descalings))
		}
	}
	s.services = append(s.services, last)
	return s
}

// door draws a household of the street. Behind the first door is the water that
// the test was taken of; behind the others, waters that explain the test, each
// in proportion to how well it does.
func (s *street) door(t testing.TB, number int) *household {
	t.Helper()
	r := rand.New(rand.NewPCG(uint64(s.number), uint64(number)))
	h := &household{street: s, random: r}
	i := s.forebear
	if number > 0 {
		total := s.weights[len(s.weights)-1]
		i = min(sort.SearchFloat64s(s.weights, r.Float64()*total), len(s.weights)-1)
	}
	h.truth.supply = s.waters.totals[i]
	h.drink(t)
	h.truth.draw(r, s)
	return h
}

// surprise turns the truth into one that no world of a forecast allows for:
// calcite as wateq4f.dat has it, twice the deposit, and another water from some
// day after the test on, which nobody tested.
func (h *household) surprise() {
	factor := 1.35
	if h.random.IntN(2) == 0 {
		factor = 1 / factor
	}
	changed := h.test.On + record.Date(h.random.IntN(int(now-h.test.On)+1))
	h.truth.beyond = surprise{database: true, deposit: 2, changed: changed, factor: factor}
}

// kit is what the owners measure, with what, and what is true of it.
func (s *street) kit(i int) []water.Measured {
	totals := s.waters.totals[i]
	const mgPerMolCaCO3 = 1000 * water.MolarMassCalcite // half of it for each equivalent
	return []water.Measured{
		{Quantity: water.Hardness, Unit: water.MgPerLCaCO3, Method: water.MethodDrop, Value: mgPerMolCaCO3 * (totals.Calcium + totals.Magnesium)},
		{Quantity: water.Alkalinity, Unit: water.MgPerLCaCO3, Method: water.MethodDrop, Value: mgPerMolCaCO3 / 2 * totals.Alkalinity},
		{Quantity: water.PH, Unit: water.PHUnit, Method: water.MethodMeter, Value: s.waters.set.Analyses[i].PH},
	}
}

// spread is the standard deviation of a value of the kit.
func spread(t testing.TB, m water.Measured) float64 {
	t.Helper()
	sd, err := m.Method.Spread(m.Quantity, m.Value)
	if err != nil {
		t.Fatal(err)
	}
	return sd
}

// measure writes down what the kit says of the forebear.
func (s *street) measure(t testing.TB, r *rand.Rand) {
	t.Helper()
	values := s.kit(s.forebear)
	for k := range values {
		values[k].Value = max(0, values[k].Value+spread(t, values[k])*r.NormFloat64())
	}
	s.test = record.Dated[record.WaterTest]{ID: 1, Body: record.WaterTest{Line: "tap", Test: water.Test{
		Values: values, Celsius: s.waters.set.Analyses[s.forebear].MeasuredCelsius,
	}}}
}

// hard tells whether the test says that both are enough to scale with, and not
// out of the ordinary.
func (s *street) hard() bool {
	const degree = 17.848 // mg/L as CaCO3
	v := s.test.Body.Test.Values
	return v[0].Value >= 8*degree && v[1].Value >= 6*degree && v[1].Value <= 25*degree
}

// leastWaters is how many waters of the pool must explain a test for the draw
// among them to be a fair one (Kish's effective size).
const leastWaters = 25

// weigh works out how well each water of the pool explains the test; not at all
// where too few do.
func (s *street) weigh(t testing.TB) {
	t.Helper()
	total, squares := 0.0, 0.0
	weights := make([]float64, len(s.waters.totals))
	for i := range weights {
		w := s.waters.set.Weights[i]
		for k, m := range s.kit(i) {
			sd := spread(t, m)
			z := (s.test.Body.Test.Values[k].Value - m.Value) / sd
			w *= math.Exp(-z*z/2) / sd
		}
		total, squares = total+w, squares+w*w
		weights[i] = total
	}
	if total*total >= leastWaters*squares {
		s.weights = weights
	}
}

// equip sets the kitchen up: a plumbed machine with two boilers whose sizes are
// known.
func (s *street) equip(r *rand.Rand) {
	s.equipment = []record.Equipment{
		{ID: "machine", Bought: s.bought, Machine: &record.Machine{
			Setting: record.Home, Line: "tap",
			Vessels: []record.Vessel{
				{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless, Litres: 0.5, Watts: 800 + 600*r.Float64(), Celsius: 90 + 6*r.Float64()},
				{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, Litres: 1.2 + 0.8*r.Float64(), Watts: 1200 + 600*r.Float64(), Celsius: 120 + 8*r.Float64()},
			},
			Groups: []record.Group{{ID: "group", ThreeWayValve: true}},
			Habit: record.Habit{
				WeekdayShots: 3 + 9*r.Float64(), WeekendShots: 4 + 12*r.Float64(),
				SteamedShare: new(0.3 + 0.5*r.Float64()), HotWaterLitres: new(0.2 + 0.6*r.Float64()), DoseGrams: 18, YieldGrams: 36,
			},
		}},
		{ID: "tap", Bought: s.bought, Line: &record.WaterLine{Supply: record.Mains}},
	}
}

// How the truth drinks: a person against the stated habit, a year against the
// log, a month by itself. Assumptions, those of the forecasts.
const (
	personLogSD = 0.25
	yearLogSD   = 0.08
	monthLogSD  = 0.10
)

// drink draws every day's drinks, those to come included. Half of the
// households wrote the last months down.
func (h *household) drink(t testing.TB) {
	t.Helper()
	r := h.random
	habit := h.equipment[0].Machine.Habit
	horizon := now.AddMonths(12 * horizonYears)
	person := math.Exp(personLogSD * r.NormFloat64())
	future := person * math.Exp(yearLogSD*r.NormFloat64())
	month, monthly := -1, 1.0
	var all []record.UseDay
	for day := h.bought; day <= horizon; day++ {
		rate := habit.WeekdayShots
		if day.Weekend() {
			rate = habit.WeekendShots
		}
		factor := person
		if day > now {
			if m := int(day-now) / 30; m != month {
				month, monthly = m, math.Exp(monthLogSD*r.NormFloat64())
			}
			factor = future * monthly
		}
		u := record.UseDay{Machine: "machine", Date: day, Shots: float64(poisson(r, rate*factor)), HotWaterLitres: *habit.HotWaterLitres * factor}
		for range int(u.Shots) {
			if r.Float64() < *habit.SteamedShare {
				u.Steamed++
			}
		}
		all = append(all, u)
	}
	// A log of everything, read on the last day, gives the litres of each.
	batch := record.Entry{ID: 1, Effective: h.bought, Body: record.UseBatch{Machine: "machine", From: h.bought, To: horizon, Rows: len(all)}}
	book := record.NewBook(horizon, []record.Entry{batch}, all)
	h.truth.days = use.NewTimeline(book, h.equipment[0], h.bought, horizon)
	if r.IntN(2) == 0 {
		const days = 120
		for _, u := range all {
			if u.Date > now-days && u.Date <= now {
				h.logged = append(h.logged, u)
			}
		}
	}
}

// poisson draws a number of events with a mean, by Knuth's product of uniforms.
func poisson(r *rand.Rand, mean float64) int {
	n, product := 0, r.Float64()
	for limit := math.Exp(-mean); product > limit; n++ {
		product *= r.Float64()
	}
	return n
}

// draw draws what is left: drift, thermodynamics, vessels.
func (w *truth) draw(r *rand.Rand, s *street) {
	days := int(now.AddMonths(12*horizonYears)-s.bought) + 1
	w.drift = make([]float64, days)
	const driftPerRootYear = 0.10 // assumption, that of the forecasts
	step := driftPerRootYear / math.Sqrt(365.25)
	at := int(s.test.On - s.bought)
	for d := at + 1; d < days; d++ {
		w.drift[d] = w.drift[d-1] + step*r.NormFloat64()
	}
	for d := at - 1; d >= 0; d-- {
		w.drift[d] = w.drift[d+1] + step*r.NormFloat64()
	}
	w.offset, w.brucite = r.NormFloat64(), r.IntN(2) == 0
	w.vessels = map[string]vesselTruth{}
	for _, v := range s.equipment[0].Machine.Vessels {
		const (
			elementShare       = 0.7 // of the deposit, and how dense its heat is: assumptions, those of the forecasts
			elementWattsPerCm2 = 10.0
			wallExcessKelvin   = 12.0
			usualPorosity      = 0.25
		)
		perGram := func(porosity float64) float64 {
			const mmPerCm = 10
			return mmPerCm * elementShare / (deposit.CalciteDensityGramsPerCm3 * (1 - porosity)) / (v.Watts / elementWattsPerCm2)
		}
		porosity := min(0.8, between(r, 0.1, usualPorosity, 0.4))
		w.vessels[v.ID] = vesselTruth{
			multiplier: between(r, 0.1, 0.3, 0.8), porosity: porosity,
			limitMM: between(r, 0.2, 0.3, 0.5), limitGrams: between(r, 2.5, 3.5, 5),
			mmPerGram: perGram(porosity), eyeMMPerGram: perGram(usualPorosity), wallCelsius: v.Celsius + wallExcessKelvin,
		}
	}
}

// horizonYears is how far forecasts reach.
const horizonYears = 5
