package day_test

import (
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// unknownKitchen has a machine with two boilers of which nobody knows anything, at a
// place whose water was never tested.
func unknownKitchen() schedule.Setup {
	return schedule.Setup{
		Place: record.Place{ID: "kitchen", Zone: "Europe/Vienna", Times: []record.PreferredTime{{When: "0 10 * * SAT", Minutes: 120}}},
		Equipment: []record.Equipment{
			{ID: "tap", Bought: today, Used: true, RecordsFrom: today, Line: &record.WaterLine{Supply: record.Tank}},
			{ID: "machine", Bought: today, Used: true, RecordsFrom: today, Machine: &record.Machine{
				Setting: record.Home, Line: "tap",
				Vessels: []record.Vessel{
					{ID: "brew", Kind: record.BrewBoiler, Celsius: 93},
					{ID: "steam", Kind: record.SteamBoiler, GaugeBar: 1.2},
				},
				Groups: []record.Group{{ID: "group", ThreeWayValve: true}},
			}},
		},
	}
}

// A used machine begins with a stock-taking that does not come back month by month,
// the first test of its water is not followed by another the day after, no turn gives
// up more than the life there is, and the care that any barista would give it first
// stands before its late date.
func TestFirstWeeksOfAUsedMachine(t *testing.T) {
	k, _ := sample.SetUp(t, unknownKitchen())
	f := k.Forecast(t, at)
	p := f.Plan()
	looks, tests := 0, []record.Date{}
	first := map[string]record.Date{}
	for _, s := range p.Sittings {
		on := record.DateOf(s.Start)
		for _, turn := range s.Turns {
			for _, does := range append([]string{turn.Task}, turn.Covers...) {
				if first[does] == 0 {
					first[does] = on
				}
			}
			if turn.Unused > 1 {
				t.Errorf("%s on %s gives up %.2f of a life", turn.Task, on, turn.Unused)
			}
			switch turn.Task {
			case "machine/first-look":
				looks++
			case "tap/water-test":
				tests = append(tests, on)
			}
		}
	}
	if looks != 1 {
		t.Errorf("stock is taken %d times in 18 months, want once", looks)
	}
	// Twice a year for raw water: common practice.
	for i := 1; i < len(tests); i++ {
		if apart := tests[i] - tests[i-1]; apart < 90 || apart > 300 {
			t.Errorf("water tests of %v lie %d days apart, want about half a year", tests, apart)
		}
	}
	if len(tests) < 3 || len(tests) > 4 {
		t.Errorf("%d water tests in 18 months: %v", len(tests), tests)
	}
	for _, task := range []string{"machine/backflush-detergent/group", "machine/soak-screen/group", "machine/steam-tips", "machine/portafilter"} {
		due, err := f.DueOf(task)
		if err != nil {
			t.Fatal(err)
		}
		if on := first[task]; on == 0 || on > *due.Late {
			t.Errorf("%s is first done on %s, want it by %s, its late date", task, on, due.Late)
		}
	}
	for _, c := range p.CannotMeet {
		if c.Turn == 1 {
			t.Errorf("it cannot be met: %+v", c)
		}
	}
}
