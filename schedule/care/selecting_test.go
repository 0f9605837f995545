package care_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// Tasks of every machine, whatever it is: electrical safety, cleanliness, time
// away.
const everyMachine = `baskets before-absence connections drip-tray electrical-check frost-storage look-underneath
	portafilter rcd-test restart temperature-check`

// Tasks of every group.
const everyGroup = `group-gasket/group screen-holder/group screen/group soak-screen/group`

// Tasks of a machine that makes steam in a boiler.
const steaming = `pressure-gauge safety-valve steam-tips steam-valve vacuum-breaker valve-seals wand-seals wipe-wand`

// Five machines with their line, and the tasks that each of them needs and no
// others, written by hand.
func TestSelecting(t *testing.T) {
	brew := record.Vessel{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless}
	steam := record.Vessel{ID: "steam", Kind: record.SteamBoiler, Material: record.Copper}
	tests := []struct {
		name    string
		machine record.Machine
		supply  record.Supply
		want    []string // of the machine
		line    string
	}{
		{
			// Filled by hand, heated by a pressure switch: nothing of a pump, a tank
			// or a cam, and above all no detergent through the lever.
			"a lever machine without a pump",
			record.Machine{Setting: record.Home, Groups: []record.Group{{ID: "group", Lever: true, Spring: false}}, Vessels: []record.Vessel{steam}},
			record.Tank,
			[]string{everyMachine, everyGroup, steaming,
				"flush-group/group lever-lubrication/group piston-seals/group",
				"pressure-switch",
				"boiler-look/steam descale/steam steam-refresh/steam warm-up/steam"},
			"water-test",
		},
		{
			// One boiler for coffee alone: no wand, no steam.
			"a single boiler without a steam tank",
			record.Machine{Setting: record.Home, Pump: record.VibrationPump, Groups: []record.Group{{ID: "group", ThreeWayValve: true}}, Vessels: []record.Vessel{brew}},
			record.Tank,
			[]string{everyMachine, everyGroup,
				"backflush-water/group backflush-detergent/group three-way-valve/group flow-test/group jets/group",
				"controller expansion-valve pump pump-pressure pump-renewal tank-hygiene",
				"boiler-look/brew descale/brew warm-up/brew"},
			"water-test",
		},
		{
			// A thermoblock that steams milk, without a three-way valve: no backflush,
			// no boiler of steam to refresh, to check or to let air into.
			"a thermoblock with a reservoir",
			record.Machine{Setting: record.Home, Groups: []record.Group{{ID: "group"}}, Habit: record.Habit{SteamedShare: new(0.5)},
				Vessels: []record.Vessel{{ID: "block", Kind: record.Thermoblock, Material: record.Stainless}}},
			record.Tank,
			[]string{everyMachine, everyGroup,
				"flush-group/group flow-test/group jets/group",
				"controller expansion-valve pump pump-pressure pump-renewal tank-hygiene",
				"steam-tips steam-valve valve-seals wand-seals wipe-wand",
				"descale/block warm-up/block"},
			"water-test",
		},
		{
			"a two-boiler machine on the mains",
			record.Machine{Setting: record.Home, Groups: []record.Group{{ID: "group", ThreeWayValve: true}}, Vessels: []record.Vessel{brew, steam}},
			record.Mains,
			[]string{everyMachine, everyGroup, steaming,
				"backflush-water/group backflush-detergent/group three-way-valve/group flow-test/group jets/group",
				"autofill controller expansion-valve level-probe non-return-valve pump pump-pressure pump-renewal",
				"boiler-look/brew boiler-look/steam descale/brew warm-up/brew descale/steam steam-refresh/steam warm-up/steam"},
			"braided-hose shut-off-valve water-test",
		},
		{
			"a four-group machine in a bar",
			record.Machine{Setting: record.Bar, Groups: []record.Group{
				{ID: "g1", ThreeWayValve: true}, {ID: "g2", ThreeWayValve: true}, {ID: "g3", ThreeWayValve: true}, {ID: "g4", ThreeWayValve: true},
			}, Vessels: []record.Vessel{{ID: "hx", Kind: record.HeatExchanger, Material: record.Copper}, steam}},
			record.Mains,
			[]string{everyMachine, steaming,
				ofGroups(everyGroup, 4),
				ofGroups("brush-group/group backflush-water/group backflush-detergent/group three-way-valve/group flow-test/group jets/group", 4),
				"anti-suction-valve autofill drain expansion-valve flow-meter level-probe non-return-valve pressure-switch pump pump-pressure pump-renewal",
				"boiler-look/steam descale/hx descale/steam steam-refresh/steam warm-up/steam"},
			"backflow-preventer braided-hose pressure-regulator shut-off-valve water-test",
		},
	}
	c := embedded(t)
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			test.machine.Line = "tap"
			e := record.Equipment{ID: "machine", Bought: bought, Machine: &test.machine}
			duties := c.Duties([]record.Equipment{e, line(test.supply)})
			checkDuties(t, duties)
			want := append(prefixed("machine/", strings.Join(test.want, " ")), prefixed("tap/", test.line)...)
			got := idsOf(duties)
			slices.Sort(want)
			slices.Sort(got)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("tasks (-want +got):\n%s", diff)
			}
		})
	}
}

func prefixed(prefix, ids string) []string {
	all := strings.Fields(ids)
	for i := range all {
		all[i] = prefix + all[i]
	}
	return all
}

// ofGroups repeats the tasks of "group" for groups g1, g2 and so on.
func ofGroups(ids string, groups int) string {
	var all []string
	for _, id := range strings.Fields(ids) {
		for g := range groups {
			all = append(all, strings.Replace(id, "/group", "/g"+string(rune('1'+g)), 1))
		}
	}
	return strings.Join(all, " ")
}

// No way of describing a lever group brings detergent into it; whatever takes
// detergent otherwise is rinsed and its first shot thrown away.
func TestNoDetergentThroughALever(t *testing.T) {
	c := embedded(t)
	for _, three := range []bool{false, true} {
		for _, spring := range []bool{false, true} {
			m := record.Machine{Setting: record.Home, Line: "tap", Pump: record.VibrationPump,
				Groups:  []record.Group{{ID: "group", Lever: true, Spring: spring, ThreeWayValve: three}},
				Vessels: []record.Vessel{{ID: "b", Kind: record.SteamBoiler, Material: record.Copper}}}
			for _, d := range c.Duties([]record.Equipment{{ID: "machine", Bought: bought, Machine: &m}}) {
				if strings.HasPrefix(d.Task.ID, "backflush") {
					t.Errorf("%s for a lever group (three-way valve %t, spring %t)", d.ID, three, spring)
				}
			}
		}
	}
	i := slices.IndexFunc(c.Tasks, func(task care.Task) bool { return task.ID == "backflush-detergent" })
	steps := strings.Join(c.Tasks[i].Steps, " ")
	for _, part := range []string{"at least five cycles with water alone", "one shot and throw it away", "lubricate it now with food-grade grease"} {
		if !strings.Contains(steps, part) {
			t.Errorf("after detergent the steps do not say %q", part)
		}
	}
}

// What an owner says of a machine's parts goes before what is usual.
func TestFittingsDecide(t *testing.T) {
	base := func(change func(*record.Machine)) []string {
		m := record.Machine{Setting: record.Home, Line: "tap", Groups: []record.Group{{ID: "group", ThreeWayValve: true}},
			Vessels: []record.Vessel{{ID: "steam", Kind: record.SteamBoiler, Material: record.Copper}, {ID: "brew", Kind: record.BrewBoiler, Material: record.Copper}}}
		change(&m)
		return idsOf(embedded(t).Duties([]record.Equipment{{ID: "machine", Bought: bought, Machine: &m}, line(record.Mains)}))
	}
	tests := []struct {
		name   string
		change func(*record.Machine)
		id     string
		want   bool
	}{
		{"a vacuum breaker is usual", func(*record.Machine) {}, "machine/vacuum-breaker", true},
		{"one that is lacking", func(m *record.Machine) { m.Lacks = []record.Fitting{record.VacuumBreaker} }, "machine/vacuum-breaker", false},
		{"no flow meter at home", func(*record.Machine) {}, "machine/flow-meter", false},
		{"one that is there", func(m *record.Machine) { m.Has = []record.Fitting{record.FlowMeter} }, "machine/flow-meter", true},
		{"no pump", func(m *record.Machine) { m.Pump = record.NoPump }, "machine/pump", false},
		{"a pressure switch", func(m *record.Machine) { m.Control = record.PressureSwitch }, "machine/pressure-switch", true},
		{"a controller", func(m *record.Machine) { m.Control = record.Controller }, "machine/pressure-switch", false},
		{"a cam", func(m *record.Machine) { m.Groups[0].Cam = true }, "machine/cam-lubrication/group", true},
		{"a cam has no solenoid", func(m *record.Machine) { m.Groups[0].Cam = true }, "machine/three-way-valve/group", false},
		{"a spring lever goes to a workshop", func(m *record.Machine) { m.Groups[0] = record.Group{ID: "group", Lever: true, Spring: true} }, "machine/spring-piston/group", true},
		{"a spring lever's piston is not for its owner", func(m *record.Machine) { m.Groups[0] = record.Group{ID: "group", Lever: true, Spring: true} }, "machine/piston-seals/group", false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := slices.Contains(base(test.change), test.id); got != test.want {
				t.Errorf("%s: %t, want %t", test.id, got, test.want)
			}
		})
	}
}

// Lines, grinders and tools have what their owner says.
func TestOtherEquipmentSelects(t *testing.T) {
	tap := line(record.Mains)
	tap.Line.Has, tap.Line.Lacks = []record.Fitting{record.LeakSensor}, []record.Fitting{record.BraidedHose}
	hand := grinder(record.Home, record.HandDriven, record.ConicalBurrs)
	motor := grinder(record.Bar, record.MotorDriven, record.FlatBurrs)
	motor.ID = "motor"
	tools := record.Equipment{ID: "tools", Bought: bought, Tools: &record.Tools{Setting: record.Home, Have: []record.Tool{record.WeighingScale, record.Thermometer}}}
	got := idsOf(embedded(t).Duties([]record.Equipment{tap, hand, motor, tools}))
	shared := "burr-cleaning deep-clean hopper-bellows burr-alignment bearings burr-replacement shot-time"
	want := slices.Concat(prefixed("tap/", "leak-sensor shut-off-valve water-test"), prefixed("grinder/", shared),
		prefixed("motor/", shared+" hopper-oil"), prefixed("tools/", "scale-check scale-calibration thermometer"))
	slices.Sort(got)
	slices.Sort(want)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("tasks (-want +got):\n%s", diff)
	}
}
