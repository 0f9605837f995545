package care_test

import (
	"slices"
	"strings"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// ways returns the tasks of an id: ways to do one thing to parts of several sorts.
func ways(t *testing.T, id string) []care.Task {
	t.Helper()
	var all []care.Task
	for _, task := range embedded(t).Tasks {
		if task.ID == id {
			all = append(all, task)
		}
	}
	if len(all) == 0 {
		t.Fatalf("there is no task %s", id)
	}
	return all
}

// says holds all lines of a task against what a technician would look for.
func says(t *testing.T, task care.Task, parts ...string) {
	t.Helper()
	text := strings.Join(slices.Concat(task.MakeSafe, task.Steps, task.Otherwise, task.AskFor, task.Check, []string{task.Good, task.Refuse}), " ")
	for _, part := range parts {
		if !strings.Contains(text, part) {
			t.Errorf("%s (%v) does not say %q", task.ID, task.When, part)
		}
	}
}

// The catalogue as a technician reads it. Each line is common practice of the trade,
// from memory where the catalogue names no source.
func TestCatalogueAsATechnicianReadsIt(t *testing.T) {
	// The step and its check speak of the same cycles.
	water := ways(t, "backflush-water")[0]
	says(t, water, "Repeat five times", "after the five cycles")
	if strings.Contains(strings.Join(water.Otherwise, " "), "ten cycles") {
		t.Error("five cycles in the step and ten in its check")
	}
	// Beside a vibration pump the expansion valve holds the pressure of the shot and
	// bypasses; beside a rotary pump, which regulates by itself, it only relieves.
	says(t, ways(t, "expansion-valve")[0], "rotary pump nothing runs", "vibration pump the valve holds the pressure", "lets water by during it")
	// A wand holds condensate before steaming, and milk after it.
	says(t, ways(t, "wipe-wand")[0], "Before each drink", "After each drink")
	// A bar soaks at close, while oil and metal are warm; at home the machine is cold.
	for _, id := range []string{"soak-screen", "steam-tips"} {
		for _, task := range ways(t, id) {
			bar := slices.Contains(task.When, "bar")
			if cold := slices.Contains(task.Needs, "cold"); cold == bar {
				t.Errorf("%s in a bar %t: starts from %v", id, bar, task.Needs)
			}
			if bar {
				says(t, task, "At close", "warm", "switch off at the plug")
			}
		}
		if len(ways(t, id)) != 2 {
			t.Errorf("%s is done in %d ways", id, len(ways(t, id)))
		}
	}
	// Burrs are aligned when they are changed, which counts for it.
	says(t, ways(t, "burr-replacement")[0], "check their alignment")
	for _, g := range ways(t, "burr-alignment")[0].Gauges {
		for k, l := range g.Limits {
			if life := gaugeOf(t, "burr-replacement", "kilograms").Limits[k]; l.Usual < life.Usual || l.Low < 1.4*life.Low {
				t.Errorf("alignment after %v of %v kg that burrs last", l, life)
			}
		}
	}
	// Raw water is tested about twice a year, what comes out behind a cartridge monthly to
	// quarterly.
	for id, want := range map[string][2]float64{"water-test": {120, 250}, "test-behind": {28, 92}} {
		if l := gaugeOf(t, id, "days").Limits[0]; l.Low < want[0] || l.High > want[1] {
			t.Errorf("%s after %v days", id, l)
		}
	}
	// Pumps are renewed and boilers opened by a workshop, at intervals of years.
	for _, id := range []string{"pump-renewal", "boiler-look"} {
		task := ways(t, id)[0]
		if task.Who != care.Workshop {
			t.Errorf("%s is for %s", id, task.Who)
		}
		for _, l := range task.Gauges[0].Limits {
			if l.Low < 3*365 || l.High > 15*366 {
				t.Errorf("%s after %v days", id, l)
			}
		}
	}
}

// Every group of a bar is brushed daily, whatever its valve.
func TestBarGroupsAreBrushedDaily(t *testing.T) {
	for _, valve := range []bool{false, true} {
		for _, setting := range []record.Setting{record.Home, record.Bar} {
			m := record.Machine{Setting: setting, Line: "tap", Pump: record.RotaryPump, Groups: []record.Group{{ID: "g1", ThreeWayValve: valve}, {ID: "g2", ThreeWayValve: valve}},
				Vessels: []record.Vessel{{ID: "hx", Kind: record.HeatExchanger, Material: record.Copper}}}
			brushed := 0
			for _, d := range embedded(t).Duties([]record.Equipment{{ID: "machine", Bought: bought, Machine: &m}, line(record.Mains)}) {
				text := strings.Join(d.Task.Steps, " ")
				daily := slices.ContainsFunc(d.Gauges, func(g care.BoundGauge) bool { return g.Driver == care.ByDays && g.Limit.High <= 1 })
				if d.Task.Per == care.PerGroup && strings.Contains(text, "brush the gasket") && daily {
					brushed++
				}
			}
			if want := map[record.Setting]int{record.Bar: 2}[setting]; brushed != want {
				t.Errorf("%s, three-way valve %t: %d groups are brushed daily, want %d", setting, valve, brushed, want)
			}
		}
	}
}

// Work that law or safety keep for licensed people is told from what a workshop does.
func TestWorkshopIsNotLicensed(t *testing.T) {
	want := map[string]care.Who{
		// Safety valves, mains wiring, backflow preventers.
		"safety-valve": care.Licensed, "pressure-switch": care.Licensed, "electrical-check": care.Licensed, "backflow-preventer": care.Licensed,
		"expansion-valve": care.Workshop, "spring-piston": care.Workshop, "frost-storage": care.Workshop, "pump-renewal": care.Workshop, "boiler-look": care.Workshop, "resin": care.Workshop,
	}
	for _, task := range embedded(t).Tasks {
		if who, ok := want[task.ID]; ok != task.Who.Booked() && task.ID != "descale" || ok && who != task.Who {
			t.Errorf("%s is for %s, want %q", task.ID, task.Who, who)
		}
	}
}

// Each kind of vessel is descaled in its own way: what opens to the air in place,
// what has no opening by pumping through where the maker foresees it, else by a
// workshop; each way says how it is filled, where the gas goes and how it is drained.
func TestDescalingFitsTheVessel(t *testing.T) {
	for _, c := range []struct {
		vessel record.Vessel
		who    care.Who
		says   []string
	}{
		{record.Vessel{Kind: record.SteamBoiler, Material: record.Copper}, care.HandyOwner, []string{"steam valve stays open, since the gas leaves there", "Fill the bath in", "drain it by the drain"}},
		{record.Vessel{Kind: record.Thermoblock, Material: record.Stainless}, care.HandyOwner, []string{"Pump the bath through as the maker foresees it", "the gas leaves there", "Pump it out into the sink"}},
		{record.Vessel{Kind: record.BrewBoiler, Material: record.Copper}, care.Workshop, []string{"no opening of its own"}},
		{record.Vessel{Kind: record.HeatExchanger, Material: record.Copper}, care.Workshop, []string{"no opening of its own"}},
		{record.Vessel{Kind: record.BrewBoiler, Material: record.Copper, Descaled: record.PumpedThrough}, care.HandyOwner, []string{"as the maker foresees it"}},
		{record.Vessel{Kind: record.HeatExchanger, Material: record.Copper, Descaled: record.PumpedThrough}, care.HandyOwner, []string{"as the maker foresees it"}},
		{record.Vessel{Kind: record.SteamBoiler, Material: record.Aluminium}, care.Workshop, []string{"must not meet acid"}},
		{record.Vessel{Kind: record.Thermoblock, Material: record.Stainless, NoDescaler: "send it in"}, care.Workshop, []string{"must not meet acid"}},
	} {
		c.vessel.ID = "v"
		duties := embedded(t).Duties([]record.Equipment{machine("m", record.Home, nil, c.vessel)})
		d := find(t, duties, "m/descale/v")
		if d.Task.Who != c.who || !slices.ContainsFunc(d.Gauges, func(g care.BoundGauge) bool { return g.Driver == care.ByScaleMass }) {
			t.Errorf("a %s of %s, %q: for %s, %d gauges", c.vessel.Kind, c.vessel.Material, c.vessel.Descaled, d.Task.Who, len(d.Gauges))
		}
		says(t, *d.Task, c.says...)
	}
}

// A resin softener that stays is no cartridge: it is regenerated with salt, by hand or
// by itself out of a stock of salt that is filled up, and its resin lasts for years.
func TestResinIsNoCartridge(t *testing.T) {
	for _, c := range []struct {
		how  record.Regenerated
		want []string
	}{
		{"", []string{"tap/cartridge/s", "tap/test-behind/s"}},
		{record.ByHand, []string{"tap/regenerate/s", "tap/test-behind/s"}},
		{record.ByItself, []string{"tap/resin/s", "tap/salt/s", "tap/test-behind/s"}},
	} {
		stage := record.Treatment{ID: "s", Kind: record.Softener, RatedLitres: 800, RatedDegrees: 10, Regenerated: c.how}
		var got []string
		changes := 0
		for _, d := range embedded(t).Duties([]record.Equipment{line(record.Mains, stage)}) {
			if d.Part == "s" {
				got = append(got, d.ID)
			}
			if d.Changes() != nil {
				changes++
			}
		}
		slices.Sort(got)
		if !slices.Equal(got, c.want) || changes != 1 {
			t.Errorf("regenerated %q: %v, %d of them make it fresh", c.how, got, changes)
		}
		once, fill := record.Treatment{ID: "s", Kind: record.Softener, RatedLitres: 800, RatedDegrees: 10}.Cartridge().CapacityMeq(), stage.Cartridge().CapacityMeq()
		if (fill > 4*once) != (c.how == record.ByItself) || fill < once {
			t.Errorf("regenerated %q: %v meq of %v", c.how, fill, once)
		}
	}
	says(t, ways(t, "regenerate")[0], "salt", "tastes of no salt", "to the drain")
}

// A steam valve that was opened to make safe is closed before the machine heats again, or it
// blows at whoever switches it on; and what was taken off a line or closed is put back, opened
// slowly and looked at. Common practice of the trade.
func TestWhatWasOpenedIsClosedAgain(t *testing.T) {
	for _, task := range embedded(t).Tasks {
		text := strings.Join(slices.Concat(task.MakeSafe, task.Steps), " ")
		if strings.Contains(text, "until silent and leave it open") && !strings.Contains(text, "close it again before the power") && !strings.Contains(strings.ToLower(text), "close the steam valve") {
			t.Errorf("%s (%v) leaves the steam valve open", task.ID, task.When)
		}
		if strings.Contains(text, "disconnect it") && !strings.Contains(text, "connect the mains and open its valve slowly") && !strings.Contains(text, "the mains hose and the cartridges back, open the valve slowly") {
			t.Errorf("%s (%v) does not connect again what it disconnects", task.ID, task.When)
		}
	}
	for _, id := range []string{"cartridge", "regenerate", "braided-hose"} { // a pump runs dry on a closed line
		says(t, ways(t, id)[0], "Draw nothing at a machine on the line")
	}
	says(t, ways(t, "shut-off-valve")[0], "must not run dry")
	says(t, ways(t, "pressure-regulator")[0], "close it, and let the pressure out")
	for _, task := range ways(t, "descale") {
		if !task.Who.Booked() {
			says(t, task, "stir the acid into the water, never water on to acid", "Wipe splashes off chrome, brass, aluminium and stone")
		}
	}
}
