package main

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/spell"
	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/record"
)

// Every action is spelt as a command that there is.
func TestActionsAreCommands(t *testing.T) {
	actions := map[string]schedule.Action{
		"limekeep setup":                                   {Verb: schedule.SetUpPlace},
		"limekeep water add":                               {Verb: schedule.AddWaterTest},
		"limekeep done m/descale/brew":                     {Verb: schedule.Done, Task: "m/descale/brew"},
		"limekeep done m/descale/brew --finding bare|film": {Verb: schedule.Done, Task: "m/descale/brew", Findings: []string{"bare", "film"}},
		"limekeep void 7":                                  {Verb: schedule.TakeBack, Record: 7},
		"limekeep away add":                                {Verb: schedule.AddAway},
		"limekeep use bag":                                 {Verb: schedule.AddBag},
	}
	for _, kind := range record.MeasurementKind("").Choices() {
		actions["limekeep measure "+strings.ReplaceAll(kind, " ", "-")] = schedule.Action{Verb: schedule.Measure, Kind: record.MeasurementKind(kind)}
	}
	for want, action := range actions {
		got := spell.Command(action)
		if got != want {
			t.Errorf("%+v is spelt %q, want %q", action, got, want)
		}
		cmd, rest, err := newRoot().Find(strings.Fields(got)[1:])
		if err != nil || !cmd.Runnable() {
			t.Errorf("%q is no command: %v", got, err)
			continue
		}
		if err := cmd.ParseFlags(rest); err != nil {
			t.Errorf("%q: %v", got, err)
		}
	}
}

// What is missing is told with the command that provides it, in one line.
func TestWhatIsMissingIsToldWithItsCommand(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{schedule.ErrNoPlace, "no place is set up yet: `limekeep setup` asks for it, or reads a place file"},
		{fmt.Errorf("tap: %w", advice.ErrNoWaterTest), "tap: no water test is written down: give the values themselves, or write them down with `limekeep water add`"},
		{errors.New("the disk\nis full"), "the disk; is full"},
	} {
		if got := oneLine(c.err); got != c.want {
			t.Errorf("told as %q, want %q", got, c.want)
		}
	}
}
