package plan

import (
	"math"
	"time"

	"limekeep/schedule/record"
)

// Price is what it costs to do the next turn of a task on a day, by the prices of the
// planner.
type Price struct {
	Harm  float64 // of lateness from today on, in minutes, on the average over the worlds
	Waste float64 // of life thrown away, in minutes
	Past  float64 // for days past its late date that can be helped; a rule, not a cost that anybody bears
	Risk  float64 // probability that its limit is passed by then
	Late  float64 // days it is late, on the average over the worlds
}

// Whole returns all of the price, in minutes.
func (p Price) Whole() float64 { return p.Harm + p.Waste + p.Past }

// Pricer prices the next turn of a task day by day.
type Pricer struct {
	task   *Task
	prices *Prices
	today  record.Date
	at     sums
	sunk   float64 // of lateness up to today, which nothing can help
}

// NewPricer returns what prices the next turn of a task from today on.
func NewPricer(t *Task, prices *Prices, today record.Date) Pricer {
	p := Pricer{task: t, prices: prices, today: today, at: t.start(today)}
	p.sunk = p.at.turn(t, prices, 0).Harm
	return p
}

// On prices the turn on a day, today or later.
func (p *Pricer) On(on record.Date) Price {
	day := float64(on - p.today)
	priced := p.at.turn(p.task, p.prices, day)
	return Price{Harm: max(0, priced.Harm-p.sunk), Waste: priced.Waste, Past: priced.Past, Risk: priced.Risk, Late: priced.Days}
}

// Layer lays work out as sittings, whoever does it: one person's hands, with waits,
// heating and cooling beside them.
type Layer struct {
	clock    *clock
	machines []string
}

// NewLayer returns what lays out the work of tasks on machines, which go by the ids of
// their equipment; one that is left out is hot and cold at once.
func NewLayer(tasks []Task, machines map[string]Machine) *Layer {
	r := &Request{Tasks: tasks, Machines: machines}
	l := &Layer{clock: newClock(r)}
	l.machines = l.clock.names(r)
	return l
}

// Lay returns the timetable of a set of the tasks, by their places, in a stretch of so
// many minutes.
func (l *Layer) Lay(set []int, room float64) Timetable {
	return l.clock.timetable(set, l.machines, room)
}

// Sitting makes a sitting of a set of the tasks that the layer was made of, by their
// places: for whoever comes by, whatever the plan says. It lasts as long as it takes.
func (l *Layer) Sitting(tasks []Task, set []int, start time.Time) Sitting {
	t := l.Lay(set, math.Inf(1))
	r := &Request{Tasks: tasks}
	var turns []Turn
	for _, i := range set {
		turns = append(turns, Turn{Task: tasks[i].ID, Number: 1, Minutes: tasks[i].Minutes(), Risk: tasks[i].Risk(record.DateOf(start)), Covers: r.present(tasks[i].Covers)})
	}
	return Sitting{Slot: Slot{Start: start, Minutes: t.Elapsed()}, Turns: t.sort(turns), States: r.statesOf(turns), Timetable: t}
}
