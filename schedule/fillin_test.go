package schedule_test

import (
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// A machine whose layout is a lever has one at each group, however little is said of the
// group; a cam or a three-way valve says that a pump drives the water all the same. Filled
// in again a machine stays as it is.
func TestGroupsOfALever(t *testing.T) {
	for name, c := range map[string]struct {
		layout record.Layout
		group  record.Group
		lever  bool
	}{
		"nothing said":         {record.LeverBoiler, record.Group{}, true},
		"an id":                {record.LeverBoiler, record.Group{ID: "left"}, true},
		"the seal":             {record.LeverBoiler, record.Group{SealCelsius: 90}, true},
		"a cam":                {record.LeverBoiler, record.Group{Cam: true}, false},
		"a valve":              {record.LeverBoiler, record.Group{ThreeWayValve: true}, false},
		"an id of a pump's":    {record.TwoBoilers, record.Group{ID: "left"}, false},
		"a lever of exchanger": {record.WithExchanger, record.Group{Lever: true}, true},
	} {
		setup := schedule.Setup{Equipment: []record.Equipment{{Machine: &record.Machine{Layout: c.layout, Groups: []record.Group{c.group}}}}}
		once := schedule.FillIn(setup)
		for times, filled := range []schedule.Setup{once, schedule.FillIn(once)} {
			if got := filled.Equipment[0].Machine.Groups[0].Lever; got != c.lever {
				t.Errorf("%s, filled in %d times: lever %v, want %v", name, times+1, got, c.lever)
			}
		}
		if setup.Equipment[0].Machine.Groups[0] != c.group {
			t.Errorf("%s: what was given is changed", name)
		}
	}
}
