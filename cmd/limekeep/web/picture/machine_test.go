package picture_test

import (
	"regexp"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web/picture"
	"limekeep/water/figure"
)

// part is a part with a reading of somebody's choosing.
func part(name, what string, reading float64) picture.Part {
	return picture.Part{Name: name, What: what, Page: "/parts/" + name, Gauge: "wear", Reading: figure.Percentiles{Low: 0.8 * reading, Likely: reading, High: 1.3 * reading}}
}

// machines has one of every build.
func machines() map[string]picture.Machine {
	base := func(title string) picture.Machine {
		pump := part("pump", "the pump", 0.4)
		wand := part("wand", "the steam wand", 0.9)
		return picture.Machine{ID: "m", Title: title, Whole: part("Machine", "the machine as a whole", 0.7), Supply: part("mains", "the supply, its test", 0.5), Pump: &pump, Wand: &wand,
			Grinders: []picture.Grinder{{Part: part("Grinder", "the grinder", 0.55)}}}
	}
	vessel := func(kind picture.VesselKind, name string, celsius, reading float64, material picture.Material) picture.Vessel {
		return picture.Vessel{Part: part(name, "the "+name, reading), Kind: kind, Celsius: celsius, Material: material}
	}
	groups := func(n int, drive picture.GroupDrive) []picture.Group {
		var all []picture.Group
		for i := range n {
			all = append(all, picture.Group{Part: part("group "+string(rune('1'+i)), "a group", 0.3+0.3*float64(i)), Drive: drive})
		}
		return all
	}
	one := base("One boiler, tank")
	one.Tank, one.Supply.Name = true, "tank"
	one.Vessels, one.Groups = []picture.Vessel{vessel(picture.BrewBoiler, "boiler", 93, 0.62, "stainless steel")}, groups(1, picture.ByPump)

	two := base("Two boilers")
	two.Treatment = []picture.Part{part("softener", "the softener", 0.85)}
	two.HotTap = true
	two.Vessels = []picture.Vessel{vessel(picture.BrewBoiler, "brew", 93, 0.35, "stainless steel"), vessel(picture.SteamBoiler, "steam", 125, 1.12, "copper")}
	two.Groups = groups(1, picture.ByPump)

	exchanger := base("Heat exchanger")
	exchanger.Treatment = []picture.Part{part("sediment", "the sediment filter", 0.2), part("carbon", "the carbon filter", 0.5), part("softener", "the softener", 1.3)}
	exchanger.Vessels = []picture.Vessel{vessel(picture.SteamBoiler, "steam", 122, 0.5, "copper"), vessel(picture.HeatExchanger, "exchanger", 93, 0.8, "copper")}
	exchanger.Groups = groups(1, picture.ByCam)

	block := base("Thermoblock")
	block.Tank, block.Supply.Name, block.Wand = true, "tank", nil
	block.Vessels, block.Groups = []picture.Vessel{vessel(picture.Thermoblock, "block", 93, 0.2, "aluminium")}, groups(1, picture.ByPump)
	block.Grinders[0].Hand = true

	lever := base("Lever")
	lever.Pump = nil
	lever.Vessels, lever.Groups = []picture.Vessel{vessel(picture.SteamBoiler, "boiler", 118, 0.45, "brass")}, groups(2, picture.BySpringDown)

	bar := base("Bar, four groups")
	bar.HotTap = true
	bar.Treatment = []picture.Part{part("sediment", "the sediment filter", 0.2), part("osmosis", "reverse osmosis", 0.5)}
	bar.Vessels = []picture.Vessel{vessel(picture.SteamBoiler, "steam", 122, 0.5, "copper")}
	for i := range 4 {
		bar.Vessels = append(bar.Vessels, vessel(picture.HeatExchanger, "hx "+string(rune('1'+i)), 93, 0.3+0.2*float64(i), "copper"))
	}
	bar.Groups = groups(4, picture.ByPump)
	bar.Grinders = append(bar.Grinders, picture.Grinder{Part: part("Decaf", "the grinder for decaf", 0.1)})

	three := base("Three groups, a boiler each")
	for i := range 3 {
		three.Vessels = append(three.Vessels, vessel(picture.BrewBoiler, "brew "+string(rune('1'+i)), 93, 0.3+0.2*float64(i), "stainless steel"))
	}
	three.Vessels = append(three.Vessels, vessel(picture.SteamBoiler, "steam", 122, 0.9, "stainless steel"))
	three.Groups = groups(3, picture.ByPump)
	three.Grinders = nil
	return map[string]picture.Machine{"one": one, "two": two, "exchanger": exchanger, "block": block, "lever": lever, "bar": bar, "three": three}
}

// Every part of every machine is on its drawing, says how it stands, and leads to
// its page.
func TestEveryPartIsALink(t *testing.T) {
	for name, m := range machines() {
		t.Run(name, func(t *testing.T) {
			p := m.Draw(picture.Writing{})
			links := 0
			for _, link := range regexp.MustCompile(`<a href="([^"]*)"[^>]*>(?:<title>([^<]*)</title>)?`).FindAllStringSubmatch(string(p.SVG), -1) {
				links++
				if !strings.Contains(link[2], "of its limit") || !strings.HasPrefix(link[1], "/parts/") {
					t.Errorf("a link to %q says %q", link[1], link[2])
				}
			}
			if want := len(p.Table.Rows); links != want {
				t.Errorf("%d links for %d parts", links, want)
			}
		})
	}
}
