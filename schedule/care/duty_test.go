package care_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// bought is the day on which all equipment of these tests was new.
var bought = record.NewDate(2024, 3, 1)

func machine(id string, setting record.Setting, groups []record.Group, vessels ...record.Vessel) record.Equipment {
	return record.Equipment{ID: id, Bought: bought, Machine: &record.Machine{Setting: setting, Line: "tap", Groups: groups, Vessels: vessels}}
}

func line(supply record.Supply, stages ...record.Treatment) record.Equipment {
	return record.Equipment{ID: "tap", Bought: bought, Line: &record.WaterLine{Supply: supply, Treatment: stages}}
}

func grinder(setting record.Setting, drive record.Drive, geometry record.Geometry) record.Equipment {
	mm := map[record.Geometry]float64{record.FlatBurrs: 58, record.ConicalBurrs: 48}[geometry] // sizes that the limits are stated for
	return record.Equipment{ID: "grinder", Bought: bought, Grinder: &record.Grinder{Setting: setting, Drive: drive, Geometry: geometry, DiameterMM: mm, Serves: []string{"machine"}}}
}

func idsOf(duties []care.Duty) []string {
	ids := []string{}
	for _, d := range duties {
		ids = append(ids, d.ID)
	}
	return ids
}

// find gives the duty with an id.
func find(t testing.TB, duties []care.Duty, id string) care.Duty {
	t.Helper()
	for _, d := range duties {
		if d.ID == id {
			return d
		}
	}
	t.Fatalf("no duty %s among %v", id, idsOf(duties))
	return care.Duty{}
}

var (
	pump  = record.Group{ID: "group", ThreeWayValve: true, Gasket: record.EPDM}
	lever = record.Group{ID: "group", Lever: true}
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden is the list of all duties, to be read when it changes: ids stand in
// records, in calendars and in addresses, and a task that is renamed loses its
// history. It changes only when a task is added or taken out.
const golden = "testdata/duties.txt"

func TestDutiesOfFourMachines(t *testing.T) {
	tests := []struct {
		name      string
		equipment []record.Equipment
	}{
		{"a plumbed home with two boilers", []record.Equipment{
			grinder(record.Home, record.MotorDriven, record.FlatBurrs),
			machine("machine", record.Home, []record.Group{pump},
				record.Vessel{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless},
				record.Vessel{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless}),
			line(record.Mains, record.Treatment{ID: "sieve", Kind: record.Sediment},
				record.Treatment{ID: "softener", Kind: record.Softener, RatedLitres: 800, RatedDegrees: 10}),
		}},
		{"a home with a thermoblock and a tank", []record.Equipment{
			machine("machine", record.Home, []record.Group{pump}, record.Vessel{ID: "block", Kind: record.Thermoblock, Material: record.Aluminium}),
			line(record.Tank),
		}},
		{"a lever without a three-way valve and a hand grinder", []record.Equipment{
			grinder(record.Home, record.HandDriven, record.ConicalBurrs),
			machine("machine", record.Home, []record.Group{lever}, record.Vessel{ID: "boiler", Kind: record.SteamBoiler, Material: record.Copper}),
			line(record.Tank),
		}},
		{"a bar with four groups", []record.Equipment{
			machine("machine", record.Bar, []record.Group{
				{ID: "g1", ThreeWayValve: true}, {ID: "g2", ThreeWayValve: true}, {ID: "g3", ThreeWayValve: true}, {ID: "g4", ThreeWayValve: true},
			}, record.Vessel{ID: "hx", Kind: record.HeatExchanger, Material: record.Copper}, record.Vessel{ID: "steam", Kind: record.SteamBoiler, Material: record.Copper}),
			line(record.Mains, record.Treatment{ID: "head", Kind: record.Decarboniser, RatedLitres: 4000, RatedDegrees: 10}),
		}},
	}
	c := embedded(t)
	var text strings.Builder
	for _, test := range tests {
		duties := c.Duties(test.equipment)
		t.Run(test.name, func(t *testing.T) { checkDuties(t, duties) })
		fmt.Fprintf(&text, "%s:\n", test.name)
		for _, id := range slices.Sorted(slices.Values(idsOf(duties))) { // the catalogue's order may change
			fmt.Fprintf(&text, "  %s\n", id)
		}
	}
	if *update {
		if err := os.WriteFile(golden, []byte(text.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), text.String()); diff != "" {
		t.Errorf("the duties have changed (go test -update writes them anew):\n%s", diff)
	}
}

// checkDuties checks what must be true of every duty.
func checkDuties(t *testing.T, duties []care.Duty) {
	t.Helper()
	for i, d := range duties {
		if d.Title == "" || strings.Contains(d.Title, "{") {
			t.Errorf("%s is called %q", d.ID, d.Title)
		}
		if d.Since != bought {
			t.Errorf("%s is fresh since %s, bought %s", d.ID, d.Since, bought)
		}
		if len(d.Gauges) == 0 {
			t.Errorf("%s has no gauge, so it never falls due", d.ID)
		}
		parts := strings.Split(d.ID, "/")
		if parts[0] != d.Equipment.ID || parts[1] != d.Task.ID || (len(parts) == 3) != (d.Part != "") || len(parts) == 3 && parts[2] != d.Part {
			t.Errorf("%s: equipment %s, task %s, part %q", d.ID, d.Equipment.ID, d.Task.ID, d.Part)
		}
		if i > 0 && slices.ContainsFunc(duties[:i], func(o care.Duty) bool { return o.ID == d.ID }) {
			t.Errorf("%s stands there twice", d.ID)
		}
	}
}

// Duties come in the order of the equipment, then of the catalogue.
func TestDutiesKeepOrder(t *testing.T) {
	c := embedded(t)
	vessel := record.Vessel{ID: "v", Kind: record.BrewBoiler, Material: record.Brass}
	duties := c.Duties([]record.Equipment{
		machine("z", record.Home, []record.Group{{ID: "b", ThreeWayValve: true}, {ID: "a", ThreeWayValve: true}}, vessel),
		machine("y", record.Home, []record.Group{pump}, vessel),
	})
	place := func(d care.Duty) [2]int {
		equipment := slices.Index([]string{"z", "y"}, d.Equipment.ID)
		return [2]int{equipment, slices.IndexFunc(c.Tasks, func(task care.Task) bool { return task.ID == d.Task.ID })}
	}
	if !slices.IsSortedFunc(duties, func(a, b care.Duty) int {
		x, y := place(a), place(b)
		return slices.Compare(x[:], y[:])
	}) {
		t.Errorf("out of order: %v", idsOf(duties))
	}
	if len(c.Duties(nil)) != 0 {
		t.Error("nothing has duties")
	}
}

func TestBackflushNeedsAValveAndNoLever(t *testing.T) {
	tests := []struct {
		name  string
		group record.Group
		want  bool
	}{
		{"a three-way valve", record.Group{ID: "g", ThreeWayValve: true}, true},
		{"no valve", record.Group{ID: "g"}, false},
		{"a lever without a valve", record.Group{ID: "g", Lever: true}, false},
		{"a lever with a valve", record.Group{ID: "g", Lever: true, ThreeWayValve: true}, false},
	}
	c := embedded(t)
	for _, setting := range []record.Setting{record.Home, record.Bar} {
		for _, test := range tests {
			t.Run(fmt.Sprintf("%s, %s", test.name, setting), func(t *testing.T) {
				ids := idsOf(c.Duties([]record.Equipment{machine("m", setting, []record.Group{test.group}, record.Vessel{ID: "v", Kind: record.BrewBoiler, Material: record.Brass})}))
				for _, id := range []string{"m/backflush-water/g", "m/backflush-detergent/g"} {
					if slices.Contains(ids, id) != test.want {
						t.Errorf("%s: %t, want %t", id, !test.want, test.want)
					}
				}
				for _, id := range []string{"m/soak-screen/g", "m/group-gasket/g"} {
					if !slices.Contains(ids, id) {
						t.Errorf("no %s", id)
					}
				}
			})
		}
	}
}

// Limits of common practice, by setting and by kind of part: figures of the
// catalogue, seen from the equipment's side.
func TestLimitsFitTheEquipment(t *testing.T) {
	const month = 365.2425 / 12 // days, mean of the Gregorian calendar
	vessel := record.Vessel{ID: "v", Kind: record.BrewBoiler, Material: record.Brass}
	of := func(e ...record.Equipment) []record.Equipment { return e }
	tests := []struct {
		name             string
		equipment        []record.Equipment
		duty             string
		driver           care.Driver
		low, usual, high float64 // all 0 where the gauge must be missing
	}{
		{"home detergent by shots", of(machine("m", record.Home, []record.Group{pump}, vessel)), "m/backflush-detergent/group", care.ByShots, 50, 100, 200},
		{"home detergent not by days", of(machine("m", record.Home, []record.Group{pump}, vessel)), "m/backflush-detergent/group", care.ByDays, 0, 0, 0},
		{"bar detergent daily", of(machine("m", record.Bar, []record.Group{pump}, vessel)), "m/backflush-detergent/group", care.ByDays, 1, 1, 1},
		{"bar detergent not by shots", of(machine("m", record.Bar, []record.Group{pump}, vessel)), "m/backflush-detergent/group", care.ByShots, 0, 0, 0},
		// 6, 12 and 18 months of 8 hours a day, 365 days a year.
		{"home gasket by hours", of(machine("m", record.Home, []record.Group{pump}, vessel)), "m/group-gasket/group", care.BySealHours, 8 * 365.0 / 2, 8 * 365, 8 * 365 * 3.0 / 2},
		// 4, 6 and 12 months, the part as a whole, of 14 hours a day.
		{"bar gasket by hours", of(machine("m", record.Bar, []record.Group{pump}, vessel)), "m/group-gasket/group", care.BySealHours, 14 * 365.0 / 3, 14 * 365.0 / 2, 14 * 365},
		{"home scale by mass", of(machine("m", record.Home, []record.Group{pump}, vessel)), "m/descale/v", care.ByScaleMass, 2.5, 3.5, 5},
		{"bar scale not by mass", of(machine("m", record.Bar, []record.Group{pump}, vessel)), "m/descale/v", care.ByScaleMass, 0, 0, 0},
		{"bar scale by thickness", of(machine("m", record.Bar, []record.Group{pump}, vessel)), "m/descale/v", care.ByScaleThickness, 0.2, 0.3, 0.5},
		{"flat burrs", of(grinder(record.Home, record.MotorDriven, record.FlatBurrs)), "grinder/burr-replacement", care.ByKilograms, 250, 400, 600},
		{"conical burrs", of(grinder(record.Bar, record.HandDriven, record.ConicalBurrs)), "grinder/burr-replacement", care.ByKilograms, 150, 300, 500},
		{"softener by exchange", of(line(record.Mains, record.Treatment{ID: "s", Kind: record.Softener, RatedLitres: 800, RatedDegrees: 10})), "tap/cartridge/s", care.ByExchange, 0.85, 1, 1.1},
		{"softener not by litres alone", of(line(record.Mains, record.Treatment{ID: "s", Kind: record.Softener, RatedLitres: 800, RatedDegrees: 10})), "tap/cartridge/s", care.ByLitres, 0, 0, 0},
		{"carbon with litres", of(line(record.Mains, record.Treatment{ID: "s", Kind: record.Carbon, RatedLitres: 5000})), "tap/cartridge/s", care.ByLitres, 0.85, 1, 1.1},
		{"carbon without litres", of(line(record.Mains, record.Treatment{ID: "s", Kind: record.Carbon})), "tap/cartridge/s", care.ByLitres, 0, 0, 0},
		{"carbon never by exchange", of(line(record.Mains, record.Treatment{ID: "s", Kind: record.Carbon, RatedLitres: 5000})), "tap/cartridge/s", care.ByExchange, 0, 0, 0},
		{"a stage of no stated age", of(line(record.Mains, record.Treatment{ID: "s", Kind: record.Sediment})), "tap/cartridge/s", care.ByDays, 180, 365, 380},
		{"a stage of six months", of(line(record.Mains, record.Treatment{ID: "s", Kind: record.Sediment, Months: 6})), "tap/cartridge/s", care.ByDays, 6 * month, 6 * month, 6 * month},
		{"an exchanger of twelve months", of(line(record.Tank, record.Treatment{ID: "s", Kind: record.Decarboniser, RatedLitres: 100, RatedDegrees: 10, Months: 12})), "tap/cartridge/s", care.ByDays, 365.2425, 365.2425, 365.2425},
	}
	c := embedded(t)
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			duty := find(t, c.Duties(test.equipment), test.duty)
			i := slices.IndexFunc(duty.Gauges, func(g care.BoundGauge) bool { return g.Driver == test.driver })
			switch {
			case test.usual == 0 && i >= 0:
				t.Errorf("it has a gauge by %s", test.driver)
			case test.usual != 0 && i < 0:
				t.Errorf("it has no gauge by %s", test.driver)
			case i >= 0:
				// The catalogue states whole hours: half of one is its rounding.
				l := duty.Gauges[i].Limit
				got, want := []float64{l.Low, l.Usual, l.High}, []float64{test.low, test.usual, test.high}
				for k := range got {
					if math.Abs(got[k]-want[k]) > 0.6 || want[k] < 10 && math.Abs(got[k]-want[k]) > 1e-9 {
						t.Errorf("limits %v, want %v", got, want)
						break
					}
				}
			}
		})
	}
}

// Binding must not write the age of one cartridge into the catalogue itself.
func TestBindingLeavesTheCatalogueAlone(t *testing.T) {
	c := embedded(t)
	c.Duties([]record.Equipment{line(record.Mains, record.Treatment{ID: "s", Kind: record.Sediment, Months: 6})})
	if diff := cmp.Diff(afresh(t), c); diff != "" {
		t.Errorf("the catalogue changed:\n%s", diff)
	}
}

func TestCartridgeIsFreshSinceItWasFitted(t *testing.T) {
	fitted := record.NewDate(2026, 1, 10)
	duties := embedded(t).Duties([]record.Equipment{line(record.Mains,
		record.Treatment{ID: "new", Kind: record.Carbon, Fitted: fitted}, record.Treatment{ID: "old", Kind: record.Sediment})})
	if d := find(t, duties, "tap/cartridge/new"); d.Since != fitted || d.Title != "Change the carbon cartridge" {
		t.Errorf("%s since %s, called %q", d.ID, d.Since, d.Title)
	}
	if d := find(t, duties, "tap/cartridge/old"); d.Since != bought {
		t.Errorf("%s since %s", d.ID, d.Since)
	}
	vessel := record.Vessel{ID: "v", Kind: record.HeatExchanger, Material: record.Brass, Descaled: record.PumpedThrough}
	if d := find(t, embedded(t).Duties([]record.Equipment{machine("m", record.Home, []record.Group{pump}, vessel)}), "m/descale/v"); d.Title != "Descale the heat exchanger" {
		t.Errorf("%s is called %q", d.ID, d.Title)
	}
}

// Whatever a person sets up, everything that wears has a duty: each group and
// vessel one of its own at least, each cartridge and grinder too.
func TestEveryPartHasADuty(t *testing.T) {
	c := embedded(t)
	for _, setting := range []record.Setting{record.Home, record.Bar} {
		for _, kind := range record.BrewBoiler.Choices() {
			for _, material := range record.VesselMaterials() {
				m := machine("m", setting, []record.Group{pump}, record.Vessel{ID: "v", Kind: record.VesselKind(kind), Material: record.Material(material)})
				find(t, c.Duties([]record.Equipment{m}), "m/descale/v")
			}
		}
		for _, drive := range record.HandDriven.Choices() {
			for _, geometry := range record.FlatBurrs.Choices() {
				duties := c.Duties([]record.Equipment{grinder(setting, record.Drive(drive), record.Geometry(geometry))})
				find(t, duties, "grinder/burr-cleaning")
				find(t, duties, "grinder/burr-replacement")
			}
		}
	}
	for _, supply := range record.Mains.Choices() {
		for _, kind := range record.Carbon.Choices() {
			l := line(record.Supply(supply), record.Treatment{ID: "s", Kind: record.TreatmentKind(kind), RatedLitres: 100, RatedDegrees: 10})
			find(t, c.Duties([]record.Equipment{l}), "tap/cartridge/s")
			find(t, c.Duties([]record.Equipment{l}), "tap/water-test")
		}
	}
}

// Of several groups each title names its own, of one group none does: who reads "Change the
// gasket" twice would not know which is meant.
func TestTitlesTellPartsApart(t *testing.T) {
	machine := func(groups ...record.Group) record.Equipment {
		return record.Equipment{ID: "machine", Machine: &record.Machine{Setting: record.Bar, Layout: record.WithExchanger, Vessels: record.WithExchanger.Vessels(), Groups: groups}}
	}
	for _, e := range []record.Equipment{
		machine(record.Group{ID: "left", ThreeWayValve: true}),
		machine(record.Group{ID: "left", ThreeWayValve: true}, record.Group{ID: "right", ThreeWayValve: true}),
	} {
		several, seen := len(e.Machine.Groups) > 1, map[string]bool{}
		for _, d := range embedded(t).Duties([]record.Equipment{e}) {
			if seen[d.Title] {
				t.Errorf("%q stands twice among %d groups", d.Title, len(e.Machine.Groups))
			}
			seen[d.Title] = true
			if d.Task.Per == care.PerGroup && (strings.HasSuffix(d.Title, ", "+d.Part) != several || strings.Contains(d.Alike, d.Part)) {
				t.Errorf("%s of %d groups is called %q, as its likes %q", d.ID, len(e.Machine.Groups), d.Title, d.Alike)
			}
		}
	}
}
