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
