package say_test

import (
	"testing"
	"time"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

func TestStepsOfATimetable(t *testing.T) {
	for _, c := range []struct {
		step  plan.Step
		again bool
		want  string
	}{
		{plan.Step{What: plan.SwitchOff, From: -60}, false, "Bar machine: off by now, so that it is cold"},
		{plan.Step{What: plan.SwitchOff, From: 5}, false, "Bar machine: switch off"},
		{plan.Step{What: plan.SwitchOn, From: -30}, false, "Bar machine: on by now, so that it is hot"},
		{plan.Step{What: plan.SwitchOn}, false, "Bar machine: switch on"},
		{plan.Step{What: plan.Cooling, Minutes: 74.6}, false, "Bar machine: cools down to 40 °C or less, 75 minutes (by its size, steam let off, in still air; an assumption)"},
		{plan.Step{What: plan.Heating, Minutes: 22}, false, "Bar machine: heats up, 22 minutes (by its size and heater; an assumption)"},
		{plan.Step{What: plan.Waiting, Minutes: 30, Note: "acid standing"}, false, "Descale the steam boiler: acid standing, 30 minutes"},
		{plan.Step{What: plan.Working, Minutes: 5}, false, "Descale the steam boiler"},
		{plan.Step{What: plan.Working, Minutes: 5}, true, "Descale the steam boiler: go on"},
	} {
		if got := say.Step(c.step, "Bar machine", "Descale the steam boiler", c.again); got != c.want {
			t.Errorf("%+v: %q, want %q", c.step, got, c.want)
		}
	}
}

// Where a place has one machine nobody would call it by its name.
func TestStepsOfTheOnlyMachine(t *testing.T) {
	for _, c := range []struct {
		step plan.Step
		want string
	}{
		{plan.Step{What: plan.SwitchOff, From: -60}, "Have the machine off by now, so that it is cold in time"},
		{plan.Step{What: plan.SwitchOff}, "Switch the machine off"},
		{plan.Step{What: plan.SwitchOn, From: -30}, "Have the machine on by now, so that it is hot in time"},
		{plan.Step{What: plan.SwitchOn}, "Switch the machine on"},
		{plan.Step{What: plan.Cooling, Minutes: 74.6}, "The machine cools down to 40 °C or less, 75 minutes (by its size, steam let off, in still air; an assumption)"},
		{plan.Step{What: plan.Heating, Minutes: 22}, "The machine heats up, 22 minutes (by its size and heater; an assumption)"},
	} {
		if got := say.Step(c.step, "", "", false); got != c.want {
			t.Errorf("%+v: %q, want %q", c.step, got, c.want)
		}
	}
}

func TestRoundsAndCatchingUp(t *testing.T) {
	tuesday := record.NewDate(2026, time.November, 24)
	for _, c := range []struct {
		round plan.Routine
		want  string
	}{
		{plan.Routine{EveryDays: 1, From: tuesday, Minutes: 4.4}, "every day, 4 minutes"},
		{plan.Routine{EveryDays: 7, From: tuesday, Minutes: 15}, "Tuesdays, 15 minutes"},
		{plan.Routine{EveryDays: 3, From: tuesday, Minutes: 8}, "every 3 days, 8 minutes"},
	} {
		if got := say.Round(c.round); got != c.want {
			t.Errorf("%+v: %q, want %q", c.round, got, c.want)
		}
	}
	up := &plan.CatchUp{Tasks: []string{"machine/rcd-test"}, Minutes: 12, End: tuesday, PerWeek: 180}
	want := "Catching up with 1 task takes 12 minutes and is done on Tue 24 Nov 2026, with 180 minutes a week at the most: first what is for safety, then what harms the machine, then the rest."
	if got := say.CatchUp(up); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
