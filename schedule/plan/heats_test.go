package plan

import (
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
)

// By hand: who takes stock switches the machine on after two minutes, from cold, and
// has it hot when that is done, 30 minutes later: what needs it hot follows at once. A
// machine that takes 50 minutes to heat is waited for, 20 more, and not switched on anew.
func TestWorkThatHeatsLeavesItOn(t *testing.T) {
	steps := func(heat float64) Timetable {
		cold, hot := []State{{Of: "machine", Name: Cold}}, []State{{Of: "machine", Name: Hot}}
		r := &Request{Machines: map[string]Machine{"machine": {HeatMinutes: heat, CoolMinutes: 200}}, Tasks: []Task{
			{ID: "stock", Of: "machine", Hands: 17, Waits: []Wait{{After: 2, Minutes: 15, For: "heating up"}}, States: cold, Heats: true},
			{ID: "flush", Of: "machine", Hands: 5, States: hot},
		}}
		return newClock(r).timetable([]int{0, 1}, []string{"machine"}, 90)
	}
	stock := Timetable{
		{From: -200, What: SwitchOff, Of: "machine"},
		{From: 0, Minutes: 2, What: Working, Task: "stock"},
		{From: 2, Minutes: 15, What: Waiting, Task: "stock", Note: "heating up"},
		{From: 17, Minutes: 15, What: Working, Task: "stock"},
	}
	if diff := gocmp.Diff(append(stock[:4:4], Step{From: 32, Minutes: 5, What: Working, Task: "flush"}), steps(20)); diff != "" {
		t.Error(diff)
	}
	if diff := gocmp.Diff(append(stock[:4:4], Step{From: 32, Minutes: 20, What: Heating, Of: "machine"}, Step{From: 52, Minutes: 5, What: Working, Task: "flush"}), steps(50)); diff != "" {
		t.Error(diff)
	}
}

// What cuts the power waits until the work that heats the machine is over, though hands are
// free before: a warm-up would be timed in vain.
func TestPowerStaysOnWhileWorkHeats(t *testing.T) {
	r := &Request{Machines: map[string]Machine{"machine": {HeatMinutes: 20, CoolMinutes: 200}}, Tasks: []Task{
		{ID: "warm-up", Of: "machine", Hands: 3, Waits: []Wait{{After: 2, Minutes: 22, For: "heating up"}}, States: []State{{Of: "machine", Name: Cold}}, Heats: true},
		{ID: "button", Of: "machine", Hands: 2, Cuts: true},
		{ID: "look", Of: "machine", Hands: 5},
	}}
	begin, end := map[string]float64{}, 0.0
	for _, s := range newClock(r).timetable([]int{0, 1, 2}, []string{"machine"}, 90) {
		if s.What != Working {
			continue
		}
		if _, ok := begin[s.Task]; !ok {
			begin[s.Task] = s.From
		}
		if s.Task == "warm-up" {
			end = s.From + s.Minutes
		}
	}
	if b := begin["button"]; b > 0 && b < end {
		t.Errorf("the power is cut at %v, between %v and %v", b, begin["warm-up"], end)
	}
	if b := begin["look"]; b >= end {
		t.Errorf("the look at %v waits as well, until %v", b, end)
	}
}
