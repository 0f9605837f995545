package care_test

import (
	"testing"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// Equipment that was looked after has had what is done at least once a year;
// what wears for years counts from the day it was bought.
func TestLookedAfter(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	bought, after := record.NewDate(2020, time.May, 4), record.NewDate(2026, time.January, 10)
	equipment := []record.Equipment{
		{ID: "tap", Bought: bought, LookedAfter: after, Line: &record.WaterLine{Supply: record.Mains, Treatment: []record.Treatment{
			{ID: "filter", Kind: record.Softener, RatedLitres: 500, RatedDegrees: 10, Months: 6}}}},
		{ID: "machine", Bought: bought, LookedAfter: after, Machine: &record.Machine{Setting: record.Home, Line: "tap",
			Vessels: []record.Vessel{{ID: "steam", Kind: record.SteamBoiler, Material: record.Copper}},
			Groups:  []record.Group{{ID: "group", ThreeWayValve: true}}}},
		{ID: "grinder", Bought: bought, LookedAfter: after, Grinder: &record.Grinder{Setting: record.Home, Drive: record.HandDriven,
			Geometry: record.ConicalBurrs, DiameterMM: 48, Serves: []string{"machine"}}},
	}
	since := map[string]record.Date{}
	for _, d := range catalogue.Duties(equipment) {
		since[d.ID] = d.Since
	}
	for task, want := range map[string]record.Date{
		"machine/backflush-detergent/group": after,
		"machine/soak-screen/group":         after,
		"grinder/burr-cleaning":             after,
		"machine/steam-refresh/steam":       after,
		"machine/descale/steam":             bought,
		"machine/group-gasket/group":        bought,
		"grinder/burr-replacement":          bought,
		"tap/cartridge/filter":              bought,
	} {
		if got, ok := since[task]; !ok || got != want {
			t.Errorf("%s counts from %v, want %v", task, got, want)
		}
	}
}
