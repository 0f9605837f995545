package care_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// corner is a small home whose owner changes things.
func corner() []record.Equipment {
	m := machine("machine", record.Home, []record.Group{pump}, record.Vessel{ID: "brew", Kind: record.BrewBoiler, Material: record.Brass},
		record.Vessel{ID: "steam", Kind: record.SteamBoiler, Material: record.Copper})
	return []record.Equipment{grinder(record.Home, record.HandDriven, record.ConicalBurrs), m, line(record.Mains)}
}

func changed(t *testing.T, own record.OwnCare) []care.Duty {
	t.Helper()
	if err := own.Validate(); err != nil {
		t.Fatal(err)
	}
	c := embedded(t)
	if err := c.CheckOwn(corner(), own); err != nil {
		t.Fatal(err)
	}
	duties := care.Changed(c.Duties(corner()), corner(), own)
	if diff := cmp.Diff(afresh(t), c); diff != "" {
		t.Errorf("the catalogue itself changed:\n%s", diff)
	}
	return duties
}

func TestSwitchingOff(t *testing.T) {
	duties := changed(t, record.OwnCare{Changes: []record.CareChange{
		{Task: "backflush-water", Off: true, Note: "the group rinses itself"},
		{Task: "machine/safety-valve", Off: true, Note: "the workshop's contract"},
	}})
	for _, d := range duties {
		want := d.Task.ID == "backflush-water" || d.Task.ID == "safety-valve"
		if d.Off != want {
			t.Errorf("%s off: %t", d.ID, d.Off)
		}
	}
	if d := find(t, duties, "machine/backflush-water/group"); d.Note != "the group rinses itself" {
		t.Errorf("note %q", d.Note)
	}
}

// An owner's limit keeps the spread of the catalogue's; a maker's stands alone.
func TestChangingALimit(t *testing.T) {
	tests := []struct {
		name             string
		change           record.CareChange
		low, usual, high float64
		instead          string
	}{
		// 150, 300, 500 kg times two thirds.
		{"the owner's", record.CareChange{Task: "burr-replacement", Gauge: "coffee ground on these burrs", Usual: 200}, 100, 200, 1000.0 / 3, "the owner's"},
		{"the owner's with a spread", record.CareChange{Task: "burr-replacement", Gauge: "coffee ground on these burrs", Usual: 200, Low: 180, High: 250}, 180, 200, 250, "the owner's"},
		{"the maker's", record.CareChange{Task: "burr-replacement", Gauge: "coffee ground on these burrs", Usual: 350, By: record.ByMaker}, 350, 350, 350, "the maker's"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d := find(t, changed(t, record.OwnCare{Changes: []record.CareChange{test.change}}), "grinder/burr-replacement")
			g := d.Gauges[0]
			if diff := cmp.Diff([]float64{test.low, test.usual, test.high}, []float64{g.Limit.Low, g.Limit.Usual, g.Limit.High}); diff != "" {
				t.Error(diff)
			}
			if g.Instead != test.instead || len(g.Replaced) != 1 || g.Replaced[0].Limit.Usual != 300 || !strings.Contains(g.Limit.Source, test.instead) {
				t.Errorf("instead %q, replaced %+v, source %q", g.Instead, g.Replaced, g.Limit.Source)
			}
			if len(d.Gauges) != 2 {
				t.Errorf("%d gauges", len(d.Gauges))
			}
		})
	}
}

// A maker's interval stands instead of everything we would count.
func TestMakersInterval(t *testing.T) {
	d := find(t, changed(t, record.OwnCare{Changes: []record.CareChange{{Task: "group-gasket", Months: 12, By: record.ByMaker}}}), "machine/group-gasket/group")
	if len(d.Gauges) != 1 || d.Gauges[0].Driver != care.ByDays || d.Gauges[0].Limit.Low != 365.2425 || d.Gauges[0].Limit.High != 365.2425 {
		t.Fatalf("gauges %+v", d.Gauges)
	}
	if g := d.Gauges[0]; g.Instead != "the maker's" || len(g.Replaced) != 3 {
		t.Errorf("instead %q of %d", g.Instead, len(g.Replaced))
	}
}

func TestOwnTasks(t *testing.T) {
	duties := changed(t, record.OwnCare{Tasks: []record.OwnTask{
		{ID: "hinges", Title: "Oil the hinges", Equipment: "machine", Months: 6, Steps: []string{"Oil them."}, Cautions: []string{"Mind your fingers."}},
		{ID: "chute", Title: "Tap the chute", Equipment: "grinder", Driver: "kilograms", Limit: 3, Minutes: 2},
		{ID: "meter", Title: "Read the meter", Equipment: "tap", Days: 30},
	}})
	hinges := find(t, duties, "machine/hinges")
	if !hinges.Own || hinges.Since != bought || hinges.Gauges[0].Limit.Usual != 6*365.2425/12 || hinges.Task.Minutes != 15 {
		t.Errorf("%+v", hinges)
	}
	if got := embedded(t).Cautions(hinges.Task); len(got) != 1 || got[0] != "Mind your fingers." || len(hinges.Task.MakeSafe) == 0 {
		t.Errorf("cautions %v, to make safe %v", got, hinges.Task.MakeSafe)
	}
	if g := find(t, duties, "grinder/chute").Gauges[0]; g.Driver != care.ByKilograms || g.Limit.Usual != 3 || g.Unit != "kg" {
		t.Errorf("%+v", g)
	}
	if g := find(t, duties, "tap/meter").Gauges[0]; g.Driver != care.ByDays || g.Limit.Usual != 30 {
		t.Errorf("%+v", g)
	}
}

func TestCheckOwnRefuses(t *testing.T) {
	tests := []struct {
		name string
		own  record.OwnCare
		says string
	}{
		{"a task nobody knows", record.OwnCare{Changes: []record.CareChange{{Task: "polish", Off: true}}}, `task "polish" is not known`},
		{"a gauge nobody knows", record.OwnCare{Changes: []record.CareChange{{Task: "group-gasket", Gauge: "moons", Usual: 3}}}, "hours hot, as at 95 °C"},
		{"a gauge left open", record.OwnCare{Changes: []record.CareChange{{Task: "group-gasket", Usual: 3}}}, "a gauge of machine/group-gasket/group"},
		{"licensed work dropped in silence", record.OwnCare{Changes: []record.CareChange{{Task: "safety-valve", Off: true}}}, "who looks after machine/safety-valve instead"},
		{"a task of the catalogue's name", record.OwnCare{Tasks: []record.OwnTask{{ID: "descale", Title: "x", Equipment: "machine", Days: 3}}}, "no task of the catalogue has"},
		{"equipment nobody has", record.OwnCare{Tasks: []record.OwnTask{{ID: "x", Title: "x", Equipment: "kettle", Days: 3}}}, `equipment "kettle" is not known`},
		{"shots of a tap", record.OwnCare{Tasks: []record.OwnTask{{ID: "x", Title: "x", Equipment: "tap", Driver: "shots", Limit: 3}}}, "months or days"},
		{"hours of a grinder", record.OwnCare{Tasks: []record.OwnTask{{ID: "x", Title: "x", Equipment: "grinder", Driver: "hot hours", Limit: 3}}}, "months or days"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			err := embedded(t).CheckOwn(corner(), test.own)
			if err == nil || !strings.Contains(err.Error(), test.says) || !strings.HasPrefix(err.Error(), "care.") {
				t.Errorf("got %v, want %q", err, test.says)
			}
			var field *record.FieldError
			if err != nil && !errors.As(err, &field) && !errors.Is(err, record.ErrUnknown) {
				t.Errorf("%v is of no known kind", err)
			}
		})
	}
}

func TestCalled(t *testing.T) {
	d := care.Duty{ID: "machine/descale/steam"}
	for name, want := range map[string]bool{
		"machine/descale/steam": true, "descale": true, "descale/steam": true, "machine": true, "steam": true,
		"": false, "scale": false, "descale/st": false, "machine/steam": false,
	} {
		if d.Called(name) != want {
			t.Errorf("%q: %t", name, !want)
		}
	}
	if slices.Contains([]bool{d.Called("/")}, true) {
		t.Error("a slash alone is no name")
	}
}
