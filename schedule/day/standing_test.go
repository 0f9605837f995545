package day_test

import (
	"slices"
	"strings"
	"testing"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
	"limekeep/water"
	"limekeep/water/figure"
)

// How a place stands is kept when its forecast was worked out, once a day, and found again
// as it was by a day.
func TestStandingIsKept(t *testing.T) {
	k, _ := sample.LivedIn(t)
	kept := &sample.Derived{}
	k.Standings = kept
	f := k.Forecast(t, at)
	k.Rest()
	s, err := day.KeptStanding(t.Context(), kept, f.Day.Place.ID, today)
	if err != nil || s == nil {
		t.Fatalf("got %v, %v", s, err)
	}
	if o := f.Outlook(); s.Past != o.Past || s.Soon != o.Soon || s.HarmMinutes != o.Harm || s.Name != o.Name || s.Today != today {
		t.Errorf("kept %+v of %+v", s, o)
	}
	past, soon := 0, 0
	for _, d := range f.Due() {
		switch {
		case d.Routine || d.Likely == nil:
		case d.Overdue:
			past++
		case *d.Likely <= today+31:
			soon++
		}
	}
	if s.Past != past || s.Soon != soon || s.Alarms != len(f.Alarms()) {
		t.Errorf("%d past, %d soon, %d alarms; what is due says %d, %d, %d", s.Past, s.Soon, s.Alarms, past, soon, len(f.Alarms()))
	}
	// The home has 3 shots on weekdays and 6 on other days; 18 dH are 18 × 17.848 mg/L.
	if s.ShotsADay < 2 || s.ShotsADay > 8 || s.LitresADay <= 0 || s.Hardness == nil || s.Hardness.MgPerL < 321 || s.Hardness.MgPerL > 322 || s.Hardness.District {
		t.Errorf("%+v, hardness %+v", s, s.Hardness)
	}
	most := 0.0
	for _, x := range f.Outcomes() {
		if x.Scale != nil {
			most = max(most, x.Scale.Grams.Likely)
		}
	}
	if s.Scale == nil || s.Scale.Grams.Likely != most {
		t.Errorf("the most scale is %+v, of all vessels %v", s.Scale, most)
	}
	if before, err := day.KeptStanding(t.Context(), kept, f.Day.Place.ID, today-1); before != nil || err != nil {
		t.Errorf("the day before it stood as %+v, %v", before, err)
	}
}

// A district's test counts at each of its places, and at no other.
func TestDistrictTestServesItsPlaces(t *testing.T) {
	inDistrict := func(id, district string) (s record.Place) {
		s = sample.Home().Place
		s.ID, s.District = id, district
		return s
	}
	blue, red, green := sample.Home(), sample.Home(), sample.Home()
	blue.Place, red.Place, green.Place = inDistrict("blue", "graz"), inDistrict("red", "graz"), inDistrict("green", "wien")
	k, _ := sample.SetUp(t, blue, red, green)
	test := record.WaterTest{District: "graz", Test: sample.DropTest(18, 13)}
	written, err := k.Journal.AddDistrictTest(t.Context(), today, today-3, test)
	if err != nil {
		t.Fatal(err)
	}
	for place, want := range map[string]int{"blue": 1, "red": 1, "green": 0} {
		m := at
		m.Place = place
		d := k.Day(t, m)
		line := d.Info().Lines[0].Line
		tests := d.Book.WaterTests(line)
		if len(tests) != want || want > 0 && (tests[0].Body.Line != line || tests[0].On != today-3) {
			t.Errorf("%s has %+v", place, tests)
		}
		m.Today = today - 4
		if len(k.Day(t, m).Book.WaterTests(line)) != 0 {
			t.Errorf("%s knows of it before its day", place)
		}
	}
	for name, wrong := range map[string]record.WaterTest{
		"a line":        {District: "graz", Line: "tap", Test: test.Test},
		"a treatment":   {District: "graz", After: "filter", Test: test.Test},
		"no district":   {Line: "tap", Test: test.Test},
		"a name":        {District: "Graz West", Test: test.Test},
		"no such water": {District: "graz", Test: water.Test{Values: []water.Measured{{Quantity: water.Hardness, Value: -1, Unit: water.GermanDegree, Method: water.MethodDrop}}}},
	} {
		if _, err := k.Journal.AddDistrictTest(t.Context(), today, today, wrong); err == nil {
			t.Errorf("a test of a district with %s is taken", name)
		}
	}
	if _, err := k.Journal.AddDistrictTest(t.Context(), today, today+1, test); err == nil {
		t.Error("a test of tomorrow is taken")
	}
	// Whoever looks after one place takes back what is of that place alone.
	m := at
	m.Place = "blue"
	if _, err := k.Journal.Void(t.Context(), k.Day(t, m), written.Record, ""); err == nil {
		t.Error("from one place the test of all is taken back")
	}
	if _, err := k.Journal.VoidDistrictTest(t.Context(), written.Record, "a slip"); err != nil {
		t.Fatal(err)
	}
	if tests := k.Day(t, m).Book.WaterTests("tap"); len(tests) != 0 {
		t.Errorf("taken back, it still counts: %+v", tests)
	}
}

func TestCompare(t *testing.T) {
	scale := func(grams float64) *day.StandingScale {
		return &day.StandingScale{Grams: figure.Sure(grams)}
	}
	all := []day.Standing{
		{Place: "a", Name: "Anna", Group: "Blue", HarmMinutes: 3, Past: 1, Scale: scale(9), ShotsADay: 10, Found: 10, Held: 0.5, HeldPromised: 0.8},
		{Place: "b", Name: "bert", Group: "blue", HarmMinutes: 30, Past: 2, ShotsADay: 30, Hardness: &day.StandingHardness{MgPerL: 200}, Found: 10, Held: 0.9, HeldPromised: 0.8},
		{Place: "c", Name: "=Cleo", Alarms: 1, Scale: scale(20), ShotsADay: 20},
	}
	for order, want := range map[string]string{"": "c b a", day.ByHarm: "c b a", day.ByScale: "c a b", day.ByUse: "b c a", day.ByHardness: "b c a", day.ByScore: "a b c", day.ByName: "c a b"} {
		var got []string
		for _, s := range day.Compare(all, nil, "", order).Places {
			got = append(got, s.Place)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("by %q: %v, want %s", order, got, want)
		}
	}
	c := day.Compare(all, []string{"d"}, "BLUE", "")
	if len(c.Places) != 2 || c.Total.ShotsADay != 40 || c.Total.Past != 3 || !slices.Equal(c.Waiting, []string{"d"}) {
		t.Errorf("of a group: %+v", c)
	}
	for _, s := range all {
		if cells := s.Cells(); len(cells) != len(day.ComparisonColumns) {
			t.Errorf("%d cells below %d columns", len(cells), len(day.ComparisonColumns))
		}
	}
}
