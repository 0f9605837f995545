package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// testToday is the day that tests plan on.
var testToday = record.NewDate(2026, time.March, 2)

// weekly gives n slots a week apart, at ten in the morning UTC.
func weekly(n int, minutes float64) []Slot {
	slots := make([]Slot, n)
	for i := range slots {
		slots[i] = Slot{Start: (testToday + record.Date(5+7*i)).In(time.UTC).Add(10 * time.Hour), Minutes: minutes}
	}
	return slots
}

// lifeOf draws a distribution of lives: log-normal about a median, with a log
// spread, as 21 quantiles.
func lifeOf(median, spread float64) [wear.QuantileCount]float64 {
	var l [wear.QuantileCount]float64
	for i := range l {
		share := (float64(i) + 0.5) / wear.QuantileCount
		l[i] = median * math.Exp(spread*math.Sqrt2*math.Erfinv(2*share-1))
	}
	return l
}

// quantilesFrom puts lives after a day.
func quantilesFrom(day record.Date, l [wear.QuantileCount]float64) wear.Quantiles {
	var q wear.Quantiles
	for i, days := range l {
		if days < 5*365 {
			q[i] = day + record.Date(math.Ceil(days))
		}
	}
	return q
}

// invented makes a task with lives about a median, last done some days ago.
func invented(id string, minutes, median, spread float64, ago record.Date, states ...State) Task {
	l := lifeOf(median, spread)
	t := Task{ID: id, Hands: minutes, Worth: 15 + 2*minutes, States: states, Fresh: testToday - ago, Due: quantilesFrom(testToday-ago, l)}
	t.Late = t.Due[18]
	for _, after := range []record.Date{0, 180, 540} {
		t.Lives.Days = append(t.Lives.Days, testToday+after)
		t.Lives.Due = append(t.Lives.Due, quantilesFrom(testToday+after, l))
	}
	return t
}

// smallCase draws a case that can be solved by trying everything.
func smallCase(rng *rand.Rand) *Request {
	n, tasks := 1+rng.IntN(10), 1+rng.IntN(6)
	r := &Request{
		Today: testToday, Prices: UsualPrices(), Slots: weekly(n, []float64{45, 90, 120}[rng.IntN(3)]),
		Machines: map[string]Machine{"machine": {HeatMinutes: float64(5 * rng.IntN(6)), CoolMinutes: float64(10 * rng.IntN(12))}},
	}
	r.Until = r.Slots[n-1].Date() + record.Date(rng.IntN(20))
	for i := range tasks {
		var states []State
		for _, name := range []string{[]string{Cold, Cold, Hot}[rng.IntN(3)], "group open", "mains off"} {
			if rng.IntN(2) == 0 {
				states = append(states, State{Of: "machine", Name: name})
			}
		}
		median := 10 * math.Exp(rng.Float64()*2.3)
		t := invented(fmt.Sprint("t", i), float64(5+5*rng.IntN(15)), median, 0.1+0.4*rng.Float64(), record.Date(float64(median)*rng.Float64()*1.3), states...)
		t.Rank, t.Weight, t.Stake = Rank(rng.IntN(3)), 0.2+2*rng.Float64(), 20+200*rng.Float64()
		t.Of = []string{"machine", "grinder"}[rng.IntN(2)]
		t.Order = rng.IntN(3)
		if rng.IntN(3) == 0 {
			t.Waits = []Wait{{After: 5 * float64(rng.IntN(int(t.Hands)/5+1)), Minutes: float64(5 + 5*rng.IntN(8)), For: "soaking"}}
		}
		if rng.IntN(6) == 0 {
			t.Acid, t.Order = true, 1
		}
		if i > 0 && rng.IntN(4) == 0 {
			t.Covers = []string{"t0"} // which covers none
		}
		r.Tasks = append(r.Tasks, t)
	}
	return r
}

// kindOfTask is a sort of task as households have it: minutes, states, spread
// of the limit and median life of the order of the care catalogue's.
type kindOfTask struct {
	name    string
	minutes float64
	drinks  float64 // shots that its life lasts, 0 where it goes by the calendar
	days    float64 // days that its life lasts at most
	spread  float64 // of its logarithm
	states  []string
}

var (
	machineTasks = []kindOfTask{
		{"backflush-water", 5, 20, 60, 0.5, []string{"hot"}},
		{"backflush-detergent", 15, 100, 120, 0.5, []string{"hot"}},
		{"soak-screen", 25, 100, 120, 0.5, []string{"cold", "group open"}},
		{"group-gasket", 30, 0, 500, 0.4, []string{"cold", "group open"}},
		{"descale-brew", 120, 2500, 900, 0.5, []string{"cold", "mains off", "cartridges out"}},
		{"descale-steam", 120, 1800, 700, 0.5, []string{"cold", "mains off", "cartridges out"}},
		{"steam-refresh", 20, 0, 90, 0.4, []string{"hot"}},
		{"wand-seals", 25, 3000, 900, 0.4, []string{"cold", "drained"}},
		{"valve", 20, 4000, 700, 0.4, []string{"cold", "drained"}},
		{"water-tank", 15, 0, 45, 0.3, nil},
	}
	grinderTasks = []kindOfTask{
		{"burr-cleaning", 15, 110, 45, 0.45, []string{"unplugged"}},
		{"burr-replacement", 45, 16000, 3000, 0.45, []string{"unplugged"}},
	}
	lineTasks = []kindOfTask{
		{"cartridge-softener", 20, 1500, 365, 0.1, []string{"mains off"}},
		{"cartridge-carbon", 15, 0, 182, 0.1, []string{"mains off"}},
		{"hose", 25, 0, 1800, 0.35, []string{"mains off"}},
		{"water-test", 15, 0, 170, 0.15, nil},
	}
)

// averageShots is what an average one of the invented machines makes a day.
const averageShots = 3

// household draws a household of 25 tasks: two machines of one or two drinkers
// to a dozen shots a day, a grinder, a line, 78 weekly slots of three hours.
func household(rng *rand.Rand) *Request {
	r, _ := householdWithUsual(rng)
	return r
}

// householdWithUsual gives a household and, for each task, the likely life it
// has in an average one.
func householdWithUsual(rng *rand.Rand) (*Request, []float64) {
	var usual []float64
	r := &Request{Today: testToday, Prices: UsualPrices(), Slots: weekly(78, 180)}
	r.Until = r.Slots[77].Date() + 1
	shots := 2 * math.Exp(1.8*rng.Float64()) // a day
	shares := []float64{0.75, 0.25}
	add := func(of string, k kindOfTask, shots float64) {
		var states []State
		for _, s := range k.states {
			if s == "mains off" {
				states = append(states, State{Name: s})
			} else {
				states = append(states, State{Of: of, Name: s})
			}
		}
		median := k.days
		if k.drinks > 0 {
			median = min(median, k.drinks/shots)
		}
		average := k.days
		if k.drinks > 0 {
			average = min(average, k.drinks/averageShots)
		}
		median *= math.Exp(0.5 * (rng.Float64() - 0.5))
		t := invented(of+"/"+k.name, k.minutes, median, k.spread, record.Date(median*rng.Float64()*1.05), states...)
		switch {
		case strings.HasPrefix(k.name, "cartridge"), k.name == "hose":
			t.Order = 3
		case slices.Contains(k.states, "cold"):
			t.Order = 2
		case !slices.Contains(k.states, "hot"):
			t.Order = 1
		}
		if t.Late-t.Fresh >= 7 { // else it belongs to the week's routine
			r.Tasks = append(r.Tasks, t)
			usual = append(usual, average)
		}
	}
	for i, share := range shares {
		for _, k := range machineTasks {
			add(fmt.Sprint("machine", i+1), k, shots*share)
		}
	}
	for _, k := range lineTasks {
		add("tap", k, shots)
	}
	for i, share := range shares {
		for _, k := range grinderTasks {
			add(fmt.Sprint("grinder", i+1), k, shots*share)
		}
	}
	for i := 3; len(r.Tasks) < 25; i++ { // what went into the routine is made up for by more grinders
		add(fmt.Sprint("grinder", i), grinderTasks[0], shots/float64(i))
	}
	r.Tasks = r.Tasks[:25]
	return r, usual[:25]
}
