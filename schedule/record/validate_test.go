package record_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"limekeep/schedule/record"
	"limekeep/water"
)

// Whole and valid bodies, of which each test changes one thing. All invented.

func goodPlace() record.Place {
	return record.Place{ID: "home", Name: "Küche", Zone: "Europe/Vienna", Times: []record.PreferredTime{{When: "0 10 * * SAT", Minutes: 120}}}
}

func goodVessel() record.Vessel {
	return record.Vessel{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless, Litres: 0.6, Watts: 1000, Celsius: 93, OrificeMM: 0.6}
}

func goodGroup() record.Group {
	return record.Group{ID: "group", ThreeWayValve: true, Gasket: record.EPDM, SealCelsius: 95}
}

func goodMachine() record.Machine {
	return record.Machine{
		Setting: record.Home, Line: "tap",
		Vessels: []record.Vessel{goodVessel(), {ID: "steam", Kind: record.SteamBoiler, Material: record.Copper, GaugeBar: 1.2}},
		Groups:  []record.Group{goodGroup()},
		Habit:   record.Habit{WeekdayShots: 4, WeekendShots: 6, SteamedShare: new(0.5), HotWaterLitres: new(0.2), DoseGrams: 18, YieldGrams: 36, HotHours: 3},
	}
}

func goodGrinder() record.Grinder {
	return record.Grinder{Setting: record.Home, Drive: record.MotorDriven, Geometry: record.FlatBurrs, DiameterMM: 64, Serves: []string{"machine"}}
}

func goodStage() record.Treatment {
	return record.Treatment{ID: "softener", Kind: record.Softener, Fitted: record.NewDate(2026, 1, 10), RatedLitres: 800, RatedDegrees: 10, BypassShare: 0.3, Months: 12}
}

func goodLine() record.WaterLine {
	return record.WaterLine{Supply: record.Mains, Treatment: []record.Treatment{{ID: "carbon", Kind: record.Carbon}, goodStage()}}
}

func goodEquipment() record.Equipment {
	m := goodMachine()
	return record.Equipment{ID: "machine", Name: "Machine", Bought: record.NewDate(2024, 5, 4), Machine: &m}
}

func goodWaterTest() record.WaterTest {
	return record.WaterTest{Line: "tap", After: "softener", Note: "drop test", Test: water.Test{Celsius: 12, Values: []water.Measured{
		{Quantity: water.Hardness, Value: 14, Unit: water.GermanDegree, Method: water.MethodDrop},
	}}}
}

func goodRow() record.UseRow {
	return record.UseRow{Date: record.NewDate(2026, 3, 2), Minute: 450, Shots: 2, DoseGrams: 18, YieldGrams: 36, Seconds: 28, Steamed: 1, HotWaterLitres: 0.2}
}

func goodBatch() record.UseBatch {
	return record.UseBatch{Machine: "machine", From: record.NewDate(2026, 3, 1), To: record.NewDate(2026, 3, 2), File: "march.csv", Rows: 2, Note: "guests"}
}

func goodService() record.Service {
	return record.Service{Task: "machine/descale/brew", Finding: record.Film, Grams: 2.5, Left: 0.2, Note: "slow"}
}

func goodPublication() record.Publication {
	at := time.Date(2026, 3, 2, 6, 0, 0, 0, time.UTC)
	return record.Publication{At: at, Entries: []record.PublishedSitting{
		{UID: "home.machine/descale/brew.0@limekeep", Task: "machine/descale/brew", Start: at, Minutes: 120, AllDay: true, Content: "0123456789abcdef", Sequence: 2, Changed: at},
	}}
}

// altered returns a copy with one thing changed.
func altered[T any](value T, change func(*T)) T {
	change(&value)
	return value
}

// validator is whatever can be checked.
type validator interface{ Validate() error }

// check reports whether a value passes, or which field stops it.
func check(t *testing.T, v validator, field string) {
	t.Helper()
	err := v.Validate()
	if field == "" {
		if err != nil {
			t.Errorf("refused: %v", err)
		}
		return
	}
	var got *record.FieldError
	switch {
	case !errors.As(err, &got):
		t.Errorf("got %v, want an error about %s", err, field)
	case got.Field != field:
		t.Errorf("got an error about %s, want one about %s: %v", got.Field, field, err)
	case got.Want == "":
		t.Errorf("it does not say what would be right: %v", err)
	}
}

func TestValidate(t *testing.T) {
	long := strings.Repeat("é", 201)
	nan, inf := math.NaN(), math.Inf(1)
	place := func(change func(*record.Place)) validator { return altered(goodPlace(), change) }
	vessel := func(change func(*record.Vessel)) validator { return altered(goodVessel(), change) }
	group := func(change func(*record.Group)) validator { return altered(goodGroup(), change) }
	machine := func(change func(*record.Machine)) validator { return altered(goodMachine(), change) }
	habit := func(change func(*record.Habit)) validator { return altered(goodMachine().Habit, change) }
	grinder := func(change func(*record.Grinder)) validator { return altered(goodGrinder(), change) }
	stage := func(change func(*record.Treatment)) validator { return altered(goodStage(), change) }
	line := func(change func(*record.WaterLine)) validator { return altered(goodLine(), change) }
	equipment := func(change func(*record.Equipment)) validator { return altered(goodEquipment(), change) }
	test := func(change func(*record.WaterTest)) validator { return altered(goodWaterTest(), change) }
	row := func(change func(*record.UseRow)) validator { return altered(goodRow(), change) }
	batch := func(change func(*record.UseBatch)) validator { return altered(goodBatch(), change) }
	service := func(change func(*record.Service)) validator { return altered(goodService(), change) }
	aLine := goodLine()
	aGrinder := goodGrinder()

	tests := []struct {
		name  string
		value validator
		field string // the one that stops it; empty where it passes
	}{
		{"place", goodPlace(), ""},
		{"place without name or times", record.Place{ID: "h", Zone: "Asia/Kolkata"}, ""},
		{"place without id", place(func(p *record.Place) { p.ID = "" }), "id"},
		{"place with capitals", place(func(p *record.Place) { p.ID = "Home" }), "id"},
		{"place with a space", place(func(p *record.Place) { p.ID = "my home" }), "id"},
		{"place with a leading hyphen", place(func(p *record.Place) { p.ID = "-home" }), "id"},
		{"place with a trailing hyphen", place(func(p *record.Place) { p.ID = "home-" }), "id"},
		{"place with a slash", place(func(p *record.Place) { p.ID = "home/1" }), "id"},
		{"place with a letter from elsewhere", place(func(p *record.Place) { p.ID = "küche" }), "id"},
		{"place with an id of forty", place(func(p *record.Place) { p.ID = strings.Repeat("a", 40) }), ""},
		{"place with an id of forty-one", place(func(p *record.Place) { p.ID = strings.Repeat("a", 41) }), "id"},
		{"place with a name of two hundred", place(func(p *record.Place) { p.Name = strings.Repeat("é", 200) }), ""},
		{"place with a longer name", place(func(p *record.Place) { p.Name = long }), "name"},
		{"place with a line's end", place(func(p *record.Place) { p.Name = "a\nb" }), "name"},
		{"place with a line's end of Unicode", place(func(p *record.Place) { p.Name = "a\u2028b" }), "name"},
		{"place with a tab", place(func(p *record.Place) { p.Name = "a\tb" }), "name"},
		{"place with a control character", place(func(p *record.Place) { p.Name = "a\x00b" }), "name"},
		{"place without zone", place(func(p *record.Place) { p.Zone = "" }), "zone"},
		{"place in the computer's zone", place(func(p *record.Place) { p.Zone = "Local" }), "zone"},
		{"place in no zone", place(func(p *record.Place) { p.Zone = "Mars/Olympus" }), "zone"},
		{"place in a file elsewhere", place(func(p *record.Place) { p.Zone = "../../etc/passwd" }), "zone"},
		{"place with a bad time", place(func(p *record.Place) { p.Times = append(p.Times, record.PreferredTime{When: "often", Minutes: 60}) }), "preferred_times[1].when"},

		{"time", record.PreferredTime{When: "30 2 29 2 *", Minutes: 15}, ""},
		{"time with six fields", record.PreferredTime{When: "0 0 10 * * SAT", Minutes: 60}, "when"},
		{"time with a zone", record.PreferredTime{When: "TZ=UTC 0 10 * * SAT", Minutes: 60}, "when"},
		{"time with a zone alone", record.PreferredTime{When: "TZ=UTC", Minutes: 60}, "when"},
		{"time with a cron zone", record.PreferredTime{When: "CRON_TZ=UTC 0 10 * * SAT", Minutes: 60}, "when"},
		{"time by descriptor", record.PreferredTime{When: "@daily", Minutes: 60}, "when"},
		{"time by interval", record.PreferredTime{When: "@every 1h", Minutes: 60}, "when"},
		{"time out of the day", record.PreferredTime{When: "0 25 * * *", Minutes: 60}, "when"},
		{"time with a step of none", record.PreferredTime{When: "*/0 * * * *", Minutes: 60}, "when"},
		{"empty time", record.PreferredTime{When: "", Minutes: 60}, "when"},
		{"very long time", record.PreferredTime{When: strings.Repeat("1,", 60) + "1 10 * * *", Minutes: 60}, "when"},
		{"time too short", record.PreferredTime{When: "0 10 * * *", Minutes: 14.9}, "minutes"},
		{"time too long", record.PreferredTime{When: "0 10 * * *", Minutes: 601}, "minutes"},
		{"time of no number", record.PreferredTime{When: "0 10 * * *", Minutes: nan}, "minutes"},

		{"vessel", goodVessel(), ""},
		{"vessel known by kind and material alone", record.Vessel{ID: "v", Kind: record.Thermoblock, Material: record.Aluminium}, ""},
		{"vessel without id", vessel(func(v *record.Vessel) { v.ID = "" }), "id"},
		{"vessel of no kind", vessel(func(v *record.Vessel) { v.Kind = "kettle" }), "kind"},
		{"vessel of rubber", vessel(func(v *record.Vessel) { v.Material = record.EPDM }), "material"},
		{"vessel of something unknown", vessel(func(v *record.Vessel) { v.Material = "" }), ""},
		{"vessel with both temperature and pressure", vessel(func(v *record.Vessel) { v.GaugeBar = 1 }), "gauge_bar"},
		{"vessel of a thimble", vessel(func(v *record.Vessel) { v.Litres = 0.009 }), "litres"},
		{"vessel of a barrel", vessel(func(v *record.Vessel) { v.Litres = 41 }), "litres"},
		{"vessel of less than nothing", vessel(func(v *record.Vessel) { v.Litres = -1 }), "litres"},
		{"vessel without power", vessel(func(v *record.Vessel) { v.Watts = 99 }), "watts"},
		{"vessel in kilowatts", vessel(func(v *record.Vessel) { v.Watts = 1.4 }), "watts"},
		{"vessel in fahrenheit", vessel(func(v *record.Vessel) { v.Celsius = 200 }), "celsius"},
		{"vessel of no temperature", vessel(func(v *record.Vessel) { v.Celsius = nan }), "celsius"},
		{"vessel in psi", vessel(func(v *record.Vessel) { v.Celsius, v.GaugeBar = 0, 17 }), "gauge_bar"},
		{"vessel with no bore to speak of", vessel(func(v *record.Vessel) { v.OrificeMM = 0.1 }), "orifice_mm"},
		{"vessel with a long prohibition", vessel(func(v *record.Vessel) { v.NoDescaler = long + long }), "no_descaler"},

		{"group", goodGroup(), ""},
		{"group known by id alone", record.Group{ID: "g"}, ""},
		{"group without id", group(func(g *record.Group) { g.ID = "" }), "id"},
		{"group with a gasket of brass", group(func(g *record.Group) { g.Gasket = record.Brass }), "gasket"},
		{"group that is cold", group(func(g *record.Group) { g.SealCelsius = 49 }), "seal_celsius"},
		{"group that glows", group(func(g *record.Group) { g.SealCelsius = inf }), "seal_celsius"},

		{"machine", goodMachine(), ""},
		{"machine in no setting", machine(func(m *record.Machine) { m.Setting = "office" }), "setting"},
		{"machine without line", machine(func(m *record.Machine) { m.Line = "" }), "water_line"},
		{"machine without vessels", machine(func(m *record.Machine) { m.Vessels = nil }), "vessels"},
		{"machine with a bad vessel", machine(func(m *record.Machine) { m.Vessels = []record.Vessel{{ID: "a"}} }), "vessels[0].kind"},
		{"machine with a vessel twice", machine(func(m *record.Machine) { m.Vessels = []record.Vessel{goodVessel(), goodVessel()} }), "vessels[1].id"},
		{"machine without groups", machine(func(m *record.Machine) { m.Groups = nil }), "groups"},
		{"machine with a bad group", machine(func(m *record.Machine) { m.Groups = []record.Group{{ID: "G"}} }), "groups[0].id"},
		{"machine with a group called like a vessel", machine(func(m *record.Machine) { m.Groups = []record.Group{{ID: "brew"}} }), "groups[0].id"},
		{"machine with a group twice", machine(func(m *record.Machine) { m.Groups = []record.Group{{ID: "a"}, {ID: "a"}} }), "groups[1].id"},
		{"machine with a bad habit", machine(func(m *record.Machine) { m.Habit.HotHours = 25 }), "habit.hot_hours"},

		{"habit of nothing", record.Habit{}, ""},
		{"habit below none", habit(func(h *record.Habit) { h.WeekdayShots = -1 }), "weekday_shots"},
		{"habit of a factory", habit(func(h *record.Habit) { h.WeekendShots = 3001 }), "weekend_shots"},
		{"habit of no number", habit(func(h *record.Habit) { h.WeekdayShots = nan }), "weekday_shots"},
		{"habit in per cent", habit(func(h *record.Habit) { h.SteamedShare = new(50.) }), "steamed_share"},
		{"habit of a bath", habit(func(h *record.Habit) { h.HotWaterLitres = new(201.) }), "hot_water_litres"},
		{"habit of a pound", habit(func(h *record.Habit) { h.DoseGrams = 41 }), "dose_grams"},
		{"habit of a bucket", habit(func(h *record.Habit) { h.YieldGrams = 501 }), "yield_grams"},

		{"grinder", goodGrinder(), ""},
		{"grinder in no setting", grinder(func(g *record.Grinder) { g.Setting = "" }), "setting"},
		{"grinder driven by wind", grinder(func(g *record.Grinder) { g.Drive = "wind" }), "drive"},
		{"grinder with square burrs", grinder(func(g *record.Grinder) { g.Geometry = "square" }), "burr_geometry"},
		{"grinder in inches", grinder(func(g *record.Grinder) { g.DiameterMM = 2.5 }), "burr_diameter_mm"},
		{"grinder that serves nobody", grinder(func(g *record.Grinder) { g.Serves = nil }), "serves"},
		{"grinder that serves one twice", grinder(func(g *record.Grinder) { g.Serves = []string{"a", "b", "a"} }), "serves[2]"},

		{"stage", goodStage(), ""},
		{"stage known by kind alone", record.Treatment{ID: "s", Kind: record.Sediment}, ""},
		{"stage without id", stage(func(s *record.Treatment) { s.ID = "" }), "id"},
		{"stage of no kind", stage(func(s *record.Treatment) { s.Kind = "magnet" }), "kind"},
		{"softener without litres", stage(func(s *record.Treatment) { s.RatedLitres = 0 }), "rated_litres"},
		{"softener without hardness", stage(func(s *record.Treatment) { s.RatedDegrees = 0 }), "rated_hardness_dh"},
		{"decarboniser without hardness", stage(func(s *record.Treatment) { s.Kind, s.RatedDegrees = record.Decarboniser, 0 }), "rated_hardness_dh"},
		{"carbon with litres", stage(func(s *record.Treatment) { s.Kind, s.RatedDegrees = record.Carbon, 0 }), ""},
		{"carbon with less than none", stage(func(s *record.Treatment) { s.Kind, s.RatedDegrees, s.RatedLitres = record.Carbon, 0, -3 }), "rated_litres"},
		{"carbon with a hardness that is no number", stage(func(s *record.Treatment) { s.Kind, s.RatedDegrees = record.Carbon, nan }), "rated_hardness_dh"},
		{"stage that all goes round", stage(func(s *record.Treatment) { s.BypassShare = 1 }), "bypass_share"},
		{"stage with a bypass in per cent", stage(func(s *record.Treatment) { s.BypassShare = 30 }), "bypass_share"},
		{"stage good for days", stage(func(s *record.Treatment) { s.Months = 0.5 }), "months"},

		{"line", goodLine(), ""},
		{"line without treatment", record.WaterLine{Supply: record.Tank}, ""},
		{"line from a well", line(func(l *record.WaterLine) { l.Supply = "well" }), "supply"},
		{"line with a bad stage", line(func(l *record.WaterLine) { l.Treatment = []record.Treatment{{ID: "a", Kind: "b"}} }), "treatment[0].kind"},
		{"line with a stage twice", line(func(l *record.WaterLine) { l.Treatment = []record.Treatment{goodStage(), goodStage()} }), "treatment[1].id"},

		{"equipment", goodEquipment(), ""},
		{"equipment without id", equipment(func(e *record.Equipment) { e.ID = "" }), "id"},
		{"equipment with a line's end in its name", equipment(func(e *record.Equipment) { e.Name = "a\r\nb" }), "name"},
		{"equipment with a long name", equipment(func(e *record.Equipment) { e.Name = long }), "name"},
		{"equipment that nobody knows the age of", equipment(func(e *record.Equipment) { e.Bought, e.LookedAfter = 0, 0 }), ""},
		{"equipment that came used", equipment(func(e *record.Equipment) { e.Used, e.Made = true, record.NewDate(2018, 1, 1) }), ""},
		{"equipment made after it was bought", equipment(func(e *record.Equipment) { e.Made = e.Bought + 1 }), "made"},
		{"equipment made before all others", equipment(func(e *record.Equipment) { e.Made = record.NewDate(1899, 12, 31) }), "made"},
		{"records from before all machines", equipment(func(e *record.Equipment) { e.RecordsFrom = record.NewDate(1899, 12, 31) }), "records_from"},
		{"a past that says nothing", equipment(func(e *record.Equipment) { e.Past = []record.Past{{Of: "group"}} }), "past[0].state"},
		{"a past of another word", equipment(func(e *record.Equipment) { e.Past = []record.Past{{State: "lost"}} }), "past[0].state"},
		{"a past without its day", equipment(func(e *record.Equipment) { e.Past = []record.Past{{State: record.WasNew}} }), "past[0].on"},
		{"a past cared for before it was there", equipment(func(e *record.Equipment) { e.Past = []record.Past{{State: record.CaredFor, On: e.Bought - 1}} }), "past[0].on"},
		{"an unknown past with a day", equipment(func(e *record.Equipment) { e.Past = []record.Past{{State: record.PastUnknown, On: e.Bought}} }), "past[0].on"},
		{"a past that looked lovely", equipment(func(e *record.Equipment) { e.Past = []record.Past{{Looked: "lovely"}} }), "past[0].looked"},
		{"a past that looked worn", equipment(func(e *record.Equipment) { e.Past = []record.Past{{Looked: record.LookedWorn}} }), ""},
		{"equipment of another century", equipment(func(e *record.Equipment) { e.Bought = record.NewDate(1899, 12, 31) }), "bought"},
		{"equipment of nothing", equipment(func(e *record.Equipment) { e.Machine = nil }), "kind"},
		{"equipment of two kinds", equipment(func(e *record.Equipment) { e.Line = &aLine }), "kind"},
		{"equipment with a grinder", equipment(func(e *record.Equipment) { e.Machine, e.Grinder = nil, &aGrinder }), ""},
		{"equipment with a line", equipment(func(e *record.Equipment) { e.Machine, e.Line = nil, &aLine }), ""},
		{"equipment with a bad grinder", equipment(func(e *record.Equipment) { e.Machine, e.Grinder = nil, &record.Grinder{} }), "setting"},

		{"retired", record.Retired{Equipment: "machine"}, ""},
		{"retired nothing", record.Retired{}, "equipment"},

		{"water test", goodWaterTest(), ""},
		{"water test of no line", test(func(w *record.WaterTest) { w.Line = "" }), "line"},
		{"water test with a long note", test(func(w *record.WaterTest) { w.Note = strings.Repeat("x", 1001) }), "note"},

		{"row", goodRow(), ""},
		{"row of a day alone", record.UseRow{Date: 1, Minute: -1}, ""},
		{"row of the day's last minute", row(func(r *record.UseRow) { r.Minute = 1439 }), ""},
		{"row without day", row(func(r *record.UseRow) { r.Date = 0 }), "date"},
		{"row before midnight", row(func(r *record.UseRow) { r.Minute = -2 }), "time"},
		{"row after midnight", row(func(r *record.UseRow) { r.Minute = 1440 }), "time"},
		{"row below the first", row(func(r *record.UseRow) { r.Ordinal = -1 }), "ordinal"},
		{"row of half a shot", row(func(r *record.UseRow) { r.Shots, r.Steamed = 0.5, 0.5 }), ""},
		{"row below none", row(func(r *record.UseRow) { r.Shots = -1 }), "shots"},
		{"row without end", row(func(r *record.UseRow) { r.Shots = inf }), "shots"},
		{"row with a dose of no number", row(func(r *record.UseRow) { r.DoseGrams = nan }), "dose_g"},
		{"row with a jug", row(func(r *record.UseRow) { r.YieldGrams = 501 }), "yield_g"},
		{"row of a cold brew", row(func(r *record.UseRow) { r.Seconds = 301 }), "seconds"},
		{"row below no steam", row(func(r *record.UseRow) { r.Steamed = -1 }), "steamed"},
		{"row with more steam than shots", row(func(r *record.UseRow) { r.Steamed = 3 }), "steamed"},
		{"row with a flood", row(func(r *record.UseRow) { r.HotWaterLitres = 201 }), "hot_water_l"},

		{"batch", goodBatch(), ""},
		{"batch of one day", batch(func(b *record.UseBatch) { b.To = b.From }), ""},
		{"batch of no machine", batch(func(b *record.UseBatch) { b.Machine = "" }), "machine"},
		{"batch without days", batch(func(b *record.UseBatch) { b.From, b.To = 0, 0 }), "to"},
		{"batch that ends before it begins", batch(func(b *record.UseBatch) { b.To = b.From - 1 }), "to"},
		{"batch from a long path", batch(func(b *record.UseBatch) { b.File = long + long }), "file"},
		{"batch with a long note", batch(func(b *record.UseBatch) { b.Note = strings.Repeat("x", 1001) }), "note"},

		{"service", goodService(), ""},
		{"service known by task alone", record.Service{Task: "machine/descale/brew"}, ""},
		{"service of nothing", service(func(s *record.Service) { s.Task = "" }), "task"},
		{"service with another finding", service(func(s *record.Service) { s.Finding = "rust" }), "finding"},
		{"service with a finding of a part", service(func(s *record.Service) { s.Finding = record.Failed }), ""},
		{"service below no scale", service(func(s *record.Service) { s.Grams = -1 }), "grams"},
		{"service of a quarry", service(func(s *record.Service) { s.Grams = 5001 }), "grams"},
		{"service that left nearly all", service(func(s *record.Service) { s.Left = 0.97 }), "left"},
		{"service that left all", service(func(s *record.Service) { s.Left, s.Finding, s.Grams = 1, "", 0 }), "finding"},
		{"service that only looked", service(func(s *record.Service) { s.Left, s.Finding = 1, record.Worn }), ""},
		{"service of no number", service(func(s *record.Service) { s.Left = nan }), "left"},
		{"service with a long note", service(func(s *record.Service) { s.Note = strings.Repeat("x", 1001) }), "note"},

		{"void", record.Void{Record: 1, Why: "a slip"}, ""},
		{"void of nothing", record.Void{}, "record"},
		{"void below nothing", record.Void{Record: -4}, "record"},
		{"void with a long reason", record.Void{Record: 1, Why: strings.Repeat("x", 1001)}, "why"},

		{"publication", goodPublication(), ""},
		{"publication of nothing", record.Publication{At: time.Unix(1, 0)}, ""},
		{"publication at no time", record.Publication{}, "at"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { check(t, test.value, test.field) })
	}
}

// What is wrong with the figures themselves the water says in its own words.
func TestValidateWaterTestPassesOnWhatTheWaterSays(t *testing.T) {
	empty := goodWaterTest()
	empty.Test.Values = nil
	if err := empty.Validate(); !errors.Is(err, water.ErrEmptyTest) {
		t.Errorf("an empty test: %v", err)
	}
	odd := goodWaterTest()
	odd.Test.Values = []water.Measured{{Quantity: water.Hardness, Value: math.NaN(), Unit: water.GermanDegree, Method: water.MethodDrop}}
	var value *water.ValueError
	if err := odd.Validate(); !errors.As(err, &value) {
		t.Errorf("a value that is no number: %v", err)
	}
}

// Each list of choices is the one that Validate takes: what it names passes.
func TestChoicesAreTaken(t *testing.T) {
	for _, setting := range record.Home.Choices() {
		check(t, altered(goodMachine(), func(m *record.Machine) { m.Setting = record.Setting(setting) }), "")
	}
	for _, drive := range record.HandDriven.Choices() {
		check(t, altered(goodGrinder(), func(g *record.Grinder) { g.Drive = record.Drive(drive) }), "")
	}
	for _, geometry := range record.FlatBurrs.Choices() {
		check(t, altered(goodGrinder(), func(g *record.Grinder) { g.Geometry = record.Geometry(geometry) }), "")
	}
	for _, kind := range record.Thermoblock.Choices() {
		for _, material := range record.VesselMaterials() {
			check(t, record.Vessel{ID: "v", Kind: record.VesselKind(kind), Material: record.Material(material)}, "")
		}
	}
	for _, material := range record.SealMaterials() {
		check(t, record.Group{ID: "g", Gasket: record.Material(material)}, "")
	}
	for _, supply := range record.Mains.Choices() {
		check(t, record.WaterLine{Supply: record.Supply(supply)}, "")
	}
	var exchangers []string
	for _, kind := range record.Carbon.Choices() {
		check(t, altered(goodStage(), func(s *record.Treatment) {
			s.Kind = record.TreatmentKind(kind)
			if s.Kind == record.Mixed {
				s.Hydrogen = 0.5
			}
		}), "")
		if record.TreatmentKind(kind).Exchanges() {
			exchangers = append(exchangers, kind)
		}
	}
	if want := []string{"softener", "decarboniser", "mixed"}; !slices.Equal(exchangers, want) {
		t.Errorf("%v exchange ions, want %v", exchangers, want)
	}
	for _, finding := range append(record.ScaleFindings(), record.PartFindings()...) {
		check(t, record.Service{Task: "t", Finding: record.Finding(finding)}, "")
	}
}
