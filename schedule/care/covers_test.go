package care_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// What one task covers of another, as the trade knows it: detergent takes water
// with it, new burrs are clean and aligned, a new screen is clean, a descaled
// boiler holds fresh water. Each of the same part: of two groups, and of the
// vessel itself.
func TestCovers(t *testing.T) {
	machine := record.Equipment{ID: "bench", Machine: &record.Machine{
		Setting: record.Home,
		Vessels: []record.Vessel{{ID: "brew", Kind: record.BrewBoiler, Material: record.Copper}, {ID: "steam", Kind: record.SteamBoiler, Material: "stainless steel"}},
		Groups:  []record.Group{{ID: "left", ThreeWayValve: true}, {ID: "right", ThreeWayValve: true}},
	}}
	grinder := record.Equipment{ID: "grinder", Grinder: &record.Grinder{Setting: record.Home, Drive: record.MotorDriven, Geometry: record.FlatBurrs, DiameterMM: 64, Serves: []string{"bench"}}}
	want := map[string][]string{
		"bench/backflush-detergent/left":  {"bench/backflush-water/left"},
		"bench/backflush-detergent/right": {"bench/backflush-water/right"},
		"bench/screen/left":               {"bench/soak-screen/left"},
		"bench/screen/right":              {"bench/soak-screen/right"},
		"bench/descale/steam":             {"bench/steam-refresh/steam"},
		"grinder/deep-clean":              {"grinder/burr-cleaning"},
		"grinder/burr-replacement":        {"grinder/burr-alignment", "grinder/burr-cleaning"},
	}
	got, by := map[string][]string{}, map[string][]string{}
	for _, d := range embedded(t).Duties([]record.Equipment{machine, grinder}) {
		got[d.ID] = append(got[d.ID], d.Covers...)
		for _, c := range d.CoveredBy {
			by[c] = append(by[c], d.ID)
		}
		slices.Sort(got[d.ID])
	}
	for _, list := range by {
		slices.Sort(list)
	}
	for id, list := range got {
		if len(list) == 0 {
			delete(got, id)
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(got, by); diff != "" {
		t.Errorf("what covers and what is covered differ: %s", diff)
	}
}

// Small care is what nobody is hurt by, done or left out: acid, a boiler drawn
// down and whatever is for safety are not, however often they come.
func TestSmallCare(t *testing.T) {
	small := map[string]bool{
		"backflush-water": true, "drip-tray": true, "wipe-wand": true, "tank-hygiene": true, "backflush-detergent": true,
		"descale": false, "steam-refresh": false, "look-underneath": false, "rcd-test": false, "lever-lubrication": false,
		"group-gasket": false, "spring-piston": false, "safety-valve": false,
	}
	for _, task := range embedded(t).Tasks {
		if want, ok := small[task.ID]; ok && task.Small() != want {
			t.Errorf("%s: small %v", task.ID, !want)
		}
	}
}

// Work for a workshop is told from work for licensed people, and both from what
// an owner can.
func TestSortsOfWho(t *testing.T) {
	count := map[care.Who]int{}
	for _, task := range embedded(t).Tasks {
		count[task.Who]++
		if booked := len(task.Steps) == 0; booked != task.Who.Booked() {
			t.Errorf("%s: %s, and %d steps", task.ID, task.Who, len(task.Steps))
		}
	}
	for _, who := range []care.Who{care.Owner, care.HandyOwner, care.Workshop, care.Licensed} {
		if count[who] == 0 {
			t.Errorf("nothing is for %s", who)
		}
	}
}
