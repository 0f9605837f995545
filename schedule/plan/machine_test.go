package plan

import (
	"testing"

	"limekeep/schedule/record"
)

// By hand, with Newton's law: a litre of water in 1.2 kg of copper holds 4,648
// J/K and loses 0.554 W/K, so that its excess over the room falls by e in 8,390 s;
// from 93 °C to 40 °C in a room of 22 °C takes ln(71/18) = 1.372 times that, 192
// minutes, and from 100 °C, where letting off the steam leaves it, 1.466 times,
// 205 minutes and a little. To heat it by 71 K at 1,000 W takes 330 kJ, 367 s with what is lost; all of it is
// rounded up to fives.
func TestMachineTimes(t *testing.T) {
	litre := func(kind record.VesselKind, watts float64) *record.Machine {
		return &record.Machine{Setting: record.Home, Vessels: []record.Vessel{{ID: "v", Kind: kind, Litres: 1, Watts: watts}}}
	}
	for _, c := range []struct {
		name    string
		machine *record.Machine
		want    Machine
	}{
		{"a litre at 93 °C", litre(record.BrewBoiler, 1000), Machine{HeatMinutes: 20, CoolMinutes: 195}},
		{"a litre of steam boiler", litre(record.SteamBoiler, 1000), Machine{HeatMinutes: 20, CoolMinutes: 210}},
		{"nothing that heats", &record.Machine{}, Machine{}},
	} {
		if got := MachineOf(c.machine); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
	home := &record.Machine{Setting: record.Home, Vessels: []record.Vessel{{Kind: record.Thermoblock}}}
	bar := &record.Machine{Setting: record.Bar, Vessels: []record.Vessel{{Kind: record.SteamBoiler}}}
	if small, large := MachineOf(home), MachineOf(bar); small.CoolMinutes >= large.CoolMinutes || small.HeatMinutes > large.HeatMinutes {
		t.Errorf("a thermoblock of a home, %+v, is no faster than a bar's boiler, %+v", small, large)
	}
}
