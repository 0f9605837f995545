package day_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// Every task of a place has its procedure; cautions and making safe are always
// there, steps only where the owner may do the work.
func TestStepsOfEveryTask(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	tasks := d.Day(t, schedule.Moment{Today: today}).Tasks()
	licensed := 0
	for _, info := range tasks {
		p, err := d.Day(t, schedule.Moment{Today: today}).Steps(info.Task)
		if err != nil {
			t.Errorf("%s: %v", info.Task, err)
			continue
		}
		if len(p.Cautions) == 0 || len(p.MakeSafe) == 0 || p.Good == "" || len(p.Otherwise) == 0 {
			t.Errorf("%s: %d cautions, %d lines to make safe, good %q", p.Task, len(p.Cautions), len(p.MakeSafe), p.Good)
		}
		if p.Who.Booked() {
			licensed++
			if len(p.Steps) != 0 || len(p.AskFor) == 0 || len(p.Check) == 0 {
				t.Errorf("%s: licensed with %d steps, %d to ask for, %d to check", p.Task, len(p.Steps), len(p.AskFor), len(p.Check))
			}
		} else if len(p.Steps) == 0 || len(p.AskFor) != 0 {
			t.Errorf("%s: %d steps", p.Task, len(p.Steps))
		}
		if !strings.HasPrefix(p.WriteDown, "<") || !strings.HasSuffix(p.WriteDown, ">") {
			t.Errorf("%s is written down by %q", p.Task, p.WriteDown)
		}
	}
	if licensed < 3 {
		t.Errorf("%d licensed tasks of a machine on the mains", licensed)
	}
}

// A catalogue that explained licensed work would still not show it.
func TestStepsOfLicensedWorkNeverShow(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	leaky := *d.Catalogue
	leaky.Tasks = slices.Clone(leaky.Tasks)
	for i := range leaky.Tasks {
		if leaky.Tasks[i].ID == "group-gasket" {
			leaky.Tasks[i].Who = care.Licensed
		}
	}
	kept := d.Catalogue
	d.Catalogue = &leaky
	defer func() { d.Catalogue = kept }()
	p, err := d.Day(t, schedule.Moment{Today: today}).Steps("group-gasket")
	if err != nil || len(p.Steps) != 0 {
		t.Errorf("%v, %d steps", err, len(p.Steps))
	}
}

func TestStepsOfNothing(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	if _, err := d.Day(t, schedule.Moment{Today: today}).Steps("polish"); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("got %v", err)
	}
	for task, want := range map[string]string{
		"water-test": "<test>", "flow-test": "<measure flow>", "shot-time": "<measure shot time>",
		"descale/brew": "<done bench/descale/brew>",
	} {
		if p, err := d.Day(t, schedule.Moment{Today: today}).Steps(task); err != nil || p.WriteDown != want {
			t.Errorf("%s: %q, %v", task, p.WriteDown, err)
		}
	}
}
