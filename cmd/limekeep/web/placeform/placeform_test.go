package placeform

import (
	"errors"
	"net/url"
	"reflect"
	"slices"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/water"
)

// sent fills a form in as a browser does that shows it and changes some inputs.
func sent(s form.Form, changes map[string]string) form.Form {
	values := url.Values{}
	for f := range s.Inputs() {
		if f.Kind != form.BoxInput || f.Value != "" {
			values.Set(f.Name, f.Value)
		}
	}
	for name, value := range changes {
		if s.Find(name) == nil {
			panic(name)
		}
		values.Set(name, value)
	}
	s.Fill(values)
	return s
}

var whole = []record.Equipment{
	{ID: "machine", Name: "Espresso machine", Bought: record.NewDate(2023, 5, 4), Used: true, Made: record.NewDate(2018, 3, 1), LookedAfter: record.NewDate(2026, 1, 10), RecordsFrom: record.NewDate(2024, 1, 1),
		Past: []record.Past{{State: record.CaredFor, On: record.NewDate(2024, 1, 1)}, {Of: "group", Looked: record.LookedWorn}, {Of: "group-gasket", State: record.PastUnknown}},
		Machine: &record.Machine{Setting: record.Bar, Layout: record.TwoBoilers, Line: "tap", Pump: record.RotaryPump, Control: record.Controller, Has: []record.Fitting{record.FlowMeter}, Lacks: []record.Fitting{record.VacuumBreaker, record.Drain},
			Vessels: []record.Vessel{
				{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless, Litres: 0.6, Watts: 1000, Celsius: 93, OrificeMM: 0.6, Descaled: record.PumpedThrough},
				{ID: "steam", Kind: record.SteamBoiler, Material: record.Copper, GaugeBar: 1.2, NoDescaler: `never, says "the maker" <b>`},
			},
			Groups: []record.Group{{ID: "group", ThreeWayValve: true, Gasket: record.EPDM, SealCelsius: 95}, {ID: "left", Lever: true, Spring: true}, {ID: "right", Cam: true}},
			Habit: record.Habit{Since: record.NewDate(2025, 1, 1), WeekdayShots: 12.5, WeekendShots: 3, SteamedShare: new(0.0), HotWaterLitres: new(0.2), DoseGrams: 18, YieldGrams: 36,
				HotTimer:         []record.Timer{{On: "30 6 * * MON-FRI", Off: "0 9 * * MON-FRI"}, {On: "0 8 1 * *", Off: "0 9 1 * *"}},
				FlushBeforeGrams: new(15.0), FlushAfterGrams: new(0.0), WarmUpGrams: new(100.0), PuckGramsPerGram: new(1.0), SteamGrams: new(25.0),
				Drinks: []record.Drink{{Name: "Melange", Steamed: true, HotWaterLitres: 0.05}, {Name: "Kleiner"}}},
		}},
	{ID: "mill", Name: "Grinder", Bought: record.NewDate(2023, 5, 4), RecordsFrom: record.NewDate(2023, 5, 4), Grinder: &record.Grinder{Setting: record.Home, Drive: record.HandDriven, Geometry: record.ConicalBurrs, DiameterMM: 48, Serves: []string{"machine"},
		Material: record.CeramicBurrs, Coated: true, Roast: record.DarkRoast, SecondsPerClick: 2.5, FinerIsHigher: true, Has: []record.Fitting{record.Bellows}}},
	{ID: "tap", Bought: record.NewDate(2023, 5, 4), Line: &record.WaterLine{Supply: record.Mains, Lacks: []record.Fitting{record.BraidedHose}, Treatment: []record.Treatment{
		{ID: "filter", Kind: record.Mixed, Fitted: record.NewDate(2025, 9, 1), RatedLitres: 500, RatedDegrees: 10, BypassShare: 0.3, Hydrogen: 0.5, Months: 12, Before: record.LikeBefore},
		{ID: "resin", Kind: record.Softener, RatedLitres: 900, RatedDegrees: 12, Regenerated: record.ByHand},
	}}},
	{ID: "bench", Bought: record.NewDate(2023, 5, 4), Tools: &record.Tools{Setting: record.Home, Have: []record.Tool{record.WeighingScale, record.Thermometer}}},
}

var around = Around{
	Lines: []form.Choice{{Value: "tap", Label: "Tap"}}, Machines: []form.Choice{{Value: "machine", Label: "Machine"}, {Value: "other", Label: "Other"}},
	Tasks: []form.Choice{{Value: "group-gasket", Label: "Change the group gasket"}},
}

// A form that is sent as it was shown changes nothing, whatever the equipment is.
func TestEquipmentStaysAsItIs(t *testing.T) {
	for _, e := range whole {
		s := sent(form.Form{Fields: Equipment(e, around)}, nil)
		if got := ReadEquipment(&s, e); !reflect.DeepEqual(got, e) || len(s.Problems()) > 0 {
			t.Errorf("%s became %+v (%v)", e.ID, got, s.Problems())
		}
		for f := range s.Inputs() {
			if f.Label == "" {
				t.Errorf("%s: %s has no label", e.ID, f.Name)
			}
			if f.Kind == form.ChoiceInput && f.Value != "" && !slices.ContainsFunc(f.Choices, f.Chosen) {
				t.Errorf("%s: %s does not offer what it is, %q", e.ID, f.Name, f.Value)
			}
		}
	}
}

// What is filled in is what the equipment then is; of lists one thing is added, another
// taken away.
func TestEquipmentIsChanged(t *testing.T) {
	s := sent(form.Form{Fields: Equipment(whole[0], around)}, map[string]string{
		"name": "Two boilers", "vessels-0-off": "yes", "vessels-2-add": "yes", "vessels-2-kind": "thermoblock", "vessels-2-litres": "0,25", "timer-0-days": "", "timer-2-days": "SUN", "timer-2-on": "08:00", "timer-2-off": "11:30",
		"habit-steamed_share": "", "habit-steamed_shots": "4", "groups-1-off": "yes", "part-drain": "", "part-flow-meter": "lacks", "past-0-off": "yes", "drinks-2-name": "not added",
	})
	got := ReadEquipment(&s, whole[0])
	m := got.Machine
	if p := s.Problems(); len(p) > 0 {
		t.Fatal(p)
	}
	if got.Name != "Two boilers" || len(m.Vessels) != 2 || m.Vessels[0].ID != "steam" || m.Vessels[1].Kind != record.Thermoblock || m.Vessels[1].Litres != 0.25 || len(m.Groups) != 2 || m.Groups[1].ID != "right" || len(got.Past) != 2 ||
		m.Habit.SteamedShare != nil || m.Habit.SteamedShots != 4 || len(m.Habit.Drinks) != 2 || !slices.Equal(m.Has, nil) || !slices.Equal(m.Lacks, []record.Fitting{record.VacuumBreaker, record.FlowMeter}) {
		t.Errorf("got %+v", m)
	}
	if want := []record.Timer{{On: "0 8 1 * *", Off: "0 9 1 * *"}, {On: "0 8 * * SUN", Off: "30 11 * * SUN"}}; !slices.Equal(m.Habit.HotTimer, want) {
		t.Errorf("timers %v", m.Habit.HotTimer)
	}
	if len(whole[0].Machine.Vessels) != 2 || whole[0].Machine.Vessels[0].ID != "brew" {
		t.Error("what was there before has changed")
	}
}

// What the rooms find wrong is said beside the input it was typed into, also behind
// things that were taken away.
func TestMistakesFindTheirInput(t *testing.T) {
	for _, c := range []struct {
		of    int
		typed map[string]string
		at    string
	}{
		{0, map[string]string{"vessels-0-off": "yes", "vessels-1-litres": "900"}, "vessels-1-litres"},
		{0, map[string]string{"habit-weekday_shots": "99999"}, "habit-weekday_shots"},
		{0, map[string]string{"habit-dose_grams": "much"}, "habit-dose_grams"},
		{0, map[string]string{"timer-0-on": "soon"}, "timer-0-on"},
		{0, map[string]string{"groups-2-lever": "yes"}, "groups-2-cam"},
		{0, map[string]string{"vessels-2-add": "yes"}, "vessels-2-kind"},
		{0, map[string]string{"setting": "moon"}, "setting"},
		{0, map[string]string{"name": strings.Repeat("x", 201)}, "name"},
		{0, map[string]string{"past-0-on": "1850-01-01"}, "past-0-on"},
		{0, map[string]string{"drinks-1-name": "MELANGE"}, "drinks-1-name"},
		{1, map[string]string{"burr_diameter_mm": "5"}, "burr_diameter_mm"},
		{1, map[string]string{"serves-machine": ""}, "serves-machine"},
		{2, map[string]string{"treatment-0-bypass_share": "3"}, "treatment-0-bypass_share"},
		{2, map[string]string{"treatment-0-off": "yes", "treatment-1-rated_litres": ""}, "treatment-1-rated_litres"},
		{3, map[string]string{"have-scale": "", "have-thermometer": ""}, "have-scale"},
	} {
		e := whole[c.of]
		s := sent(form.Form{Fields: Equipment(e, around)}, c.typed)
		got := ReadEquipment(&s, e)
		if len(s.Problems()) == 0 {
			got = schedule.FillIn(schedule.Setup{Equipment: []record.Equipment{got}}).Equipment[0] // what is new gets an id
			err := got.Validate()
			if err == nil {
				t.Errorf("%v is taken", c.typed)
				continue
			}
			s.Blame(record.EachMistake(err, func(wrong record.FieldError) record.FieldError {
				wrong.Field = e.ID + "." + wrong.Field
				return wrong
			}))
		}
		// Of a lever with a cam either may be named.
		at := strings.Replace(c.at, "-cam", "-spring", 1)
		if p := s.Problems(); p[c.at] == "" && p[at] == "" || len(p) != 1 {
			t.Errorf("%v: %v", c.typed, p)
		}
	}
}

// Whatever a place file can say of equipment has an input, but for ids, which stay, and
// a layout, of which the vessels are.
func TestEveryFieldOfAPlaceFileCanBeSet(t *testing.T) {
	exempt := map[string]string{"layout": "the vessels and groups that follow from it are asked for", "id": "it stays"}
	var all []string // inputs of equipment with all that can be said
	for _, e := range whole {
		s := form.Form{Fields: Equipment(e, around)}
		for f := range s.Inputs() {
			all = append(all, f.Name)
		}
	}
	has := func(part string) bool {
		return slices.ContainsFunc(all, func(name string) bool {
			return name == part || strings.HasSuffix(name, "-"+part) || strings.HasPrefix(name, part+"-")
		})
	}
	instead := map[string]string{"has": "part-flow-meter", "lacks": "part-drain", "hot_timer": "timer-0-days"}
	var look func(of reflect.Type)
	look = func(of reflect.Type) {
		for of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice {
			of = of.Elem()
		}
		if of.Kind() != reflect.Struct {
			return
		}
		for i := range of.NumField() {
			name, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
			field := of.Field(i).Type
			for field.Kind() == reflect.Pointer || field.Kind() == reflect.Slice {
				field = field.Elem()
			}
			switch {
			case field.Kind() == reflect.Struct && field != reflect.TypeFor[record.Timer]():
				look(field)
			case exempt[name] != "":
			case !has(name) && !has(instead[name]) || instead[name] != "" && !has(instead[name]):
				t.Errorf("%s.%s cannot be set", of.Name(), name)
			}
		}
	}
	look(reflect.TypeFor[record.Equipment]())
}

// The same of a place and its wishes.
func TestPlaceStaysAndIsChanged(t *testing.T) {
	place := record.Place{ID: "home", Name: "Kitchen", Zone: "Europe/Vienna", Times: []record.PreferredTime{{When: "0 10 * * SAT", Minutes: 120}, {When: "0 19 1,15 * *", Minutes: 90}}, CatchUpMinutes: 180,
		Alarms: &record.Alarms{Timed: []string{"1d", "2h", "90m"}, AllDay: []string{"54h", "6h", "-9h"}}, SingleEntries: true, HardnessUnit: water.MmolPerL, DoneDays: new(0.0),
		Routine: &record.RoutineWishes{Weekday: "sunday", Minutes: 10, InCalendar: true}, Prices: &record.Prices{Currency: "EUR", Hour: 30, KilowattHour: 0.28, Cartridge: 19.9}}
	if err := place.Validate(); err != nil {
		t.Fatal(err)
	}
	for _, p := range []record.Place{place, {ID: "home", Zone: "Europe/Vienna"}} {
		for _, section := range Sections() {
			s := sent(form.Form{Fields: section.Fields(p)}, nil)
			if got := section.Read(&s, p); !reflect.DeepEqual(got, p) || len(s.Problems()) > 0 {
				t.Errorf("%s: %+v became %+v, %v", section.Name, p, got, s.Problems())
			}
		}
	}
	for name, c := range map[string]struct {
		typed map[string]string
		want  func(record.Place) bool
	}{
		"place": {map[string]string{"place-name": "Bar", "place-zone": "Asia/Kolkata"}, func(p record.Place) bool { return p.Name == "Bar" && p.Zone == "Asia/Kolkata" }},
		"times": {map[string]string{"times-0-days": "", "times-2-days": "WED", "times-2-clock": "18:30", "times-2-minutes": "60"}, func(p record.Place) bool {
			return slices.Equal(p.Times, []record.PreferredTime{{When: "0 19 1,15 * *", Minutes: 90}, {When: "30 18 * * WED", Minutes: 60}})
		}},
		"routine": {map[string]string{"routine-weekday": "", "routine-minutes": ""}, func(p record.Place) bool { return *p.Routine == record.RoutineWishes{InCalendar: true} }},
		"entries": {map[string]string{"entries-of": "sittings", "entries-routine": "", "entries-done": ""}, func(p record.Place) bool { return !p.SingleEntries && p.DoneDays == nil && !p.Routine.InCalendar }},
		"alarms": {map[string]string{"timed-0-number": "", "timed-3-number": "3", "timed-3-unit": "d", "all-day-0-day": "", "all-day-3-day": "1", "all-day-3-clock": "17:30"}, func(p record.Place) bool {
			return slices.Equal(p.Alarms.Timed, []string{"2h", "90m", "3d"}) && slices.Equal(p.Alarms.AllDay, []string{"6h", "-9h", "390m"})
		}},
		"prices": {map[string]string{"prices-currency": "", "prices-hour": "", "prices-kilowatt-hour": "", "prices-cartridge": ""}, func(p record.Place) bool { return p.Prices == nil }},
	} {
		section, _ := SectionOf(name)
		s := sent(form.Form{Fields: section.Fields(place)}, c.typed)
		if got := section.Read(&s, place); !c.want(got) || len(s.Problems()) > 0 || got.Validate() != nil {
			t.Errorf("%s: %+v, %v, %v", name, got, s.Problems(), got.Validate())
		}
	}
	for _, c := range []struct{ section, input, typed string }{
		{"times", "times-0-clock", "noon"}, {"times", "times-0-minutes", "5"}, {"times", "times-0-days", "* * * * *"}, {"times", "times-catch-up", "1"}, {"place", "place-zone", "Mars/Olympus"}, {"place", "place-zone", ""}, {"place", "place-hardness", "furlong"},
		{"routine", "routine-weekday", "noday"}, {"routine", "routine-minutes", "900"}, {"entries", "entries-done", "99999"}, {"alarms", "timed-0-number", "1.5"}, {"alarms", "timed-0-number", "90"}, {"alarms", "all-day-0-clock", "x"}, {"alarms", "all-day-0-day", "99"},
		{"prices", "prices-hour", "-1"}, {"prices", "prices-currency", "a\tb"},
	} {
		section, _ := SectionOf(c.section)
		s := sent(form.Form{Fields: section.Fields(place)}, map[string]string{c.input: c.typed})
		got := section.Read(&s, place)
		if err := got.Validate(); err != nil {
			s.Blame(record.EachMistake(err, func(wrong record.FieldError) record.FieldError {
				wrong.Field = "place." + wrong.Field
				return wrong
			}))
		}
		at := strings.Replace(c.input, "times-0-days", "times-0-clock", 1) // no day that can be chosen: neither can be a time
		if p := s.Problems(); len(p) == 0 || p[at] == "" && !(p[""] == "" && len(p) == 1) {
			t.Errorf("%s %q: %v", c.input, c.typed, p)
		}
	}
}

// Whatever is sent, reading it panics on nothing.
func FuzzReadEquipment(f *testing.F) {
	f.Add("vessels-0-litres=x&groups-9-add=yes&timer-0-days=MON", 0)
	f.Add("serves-%00=yes&part-drain=%FF", 1)
	f.Fuzz(func(t *testing.T, body string, of int) {
		values, err := url.ParseQuery(body)
		if err != nil {
			return
		}
		e := whole[((of%len(whole))+len(whole))%len(whole)]
		s := form.Form{Fields: Equipment(e, around)}
		s.Fill(values)
		got := ReadEquipment(&s, e)
		if got.ID != e.ID {
			t.Errorf("its id became %q", got.ID)
		}
		var wrong *record.FieldError
		if err := got.Validate(); err != nil && !errors.As(err, &wrong) {
			t.Errorf("%v is about no field", err)
		}
	})
}
