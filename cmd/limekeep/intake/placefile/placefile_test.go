package placefile

import (
	"bytes"
	"errors"
	"strconv"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample/bound"
)

const kitchen = `place: {id: kitchen, zone: Europe/Vienna}
equipment:
  - {id: tap, bought: 2024-01-10, water_line: {supply: mains}}
  - id: machine
    bought: 2024-01-10
    machine:
      setting: home
      water_line: tap
      vessels: [{id: brew, kind: brew boiler, material: brass}]
      groups: [{id: g, three_way_valve: true}]
      habit: {weekday_shots: 2}
`

func TestRead(t *testing.T) {
	setup, err := Read(strings.NewReader(kitchen))
	if err != nil {
		t.Fatal(err)
	}
	if setup.Place.ID != "kitchen" || len(setup.Equipment) != 2 || setup.Equipment[1].Machine.Habit.WeekdayShots != 2 || setup.Equipment[1].Bought != record.NewDate(2024, 1, 10) {
		t.Errorf("got %+v", setup)
	}
}

// Whatever is wrong is named with its line.
func TestReadNamesTheLine(t *testing.T) {
	for _, c := range []struct {
		from, to, field string
		line            int
	}{
		{"setting: home", "setting: ship", "equipment[1].machine.setting", 7},
		{"setting: home", "seting: home", "equipment[1].machine.seting", 7},
		{"weekday_shots: 2", "weekday_shots: two", "equipment[1].machine.habit.weekday_shots", 11},
		{"weekday_shots: 2", "weekday_shots: -2", "equipment[1].machine.habit.weekday_shots", 11},
		{"    bought: 2024-01-10", "    bought: tomorrow", "equipment[1].bought", 5},
		{"zone: Europe/Vienna", "zone: Middle Earth", "place.zone", 1},
	} {
		_, err := Read(strings.NewReader(strings.Replace(kitchen, c.from, c.to, 1)))
		var wrong *record.FieldError
		if !errors.As(err, &wrong) || wrong.Line != c.line || wrong.Field != c.field {
			t.Errorf("%s: got %v, want line %d, %s", c.to, err, c.line, c.field)
		}
	}
}

// Figures take a decimal point or comma, as everywhere; what may be thousands is
// refused.
func TestReadTakesDecimalCommas(t *testing.T) {
	file := strings.Replace(kitchen, "habit: {weekday_shots: 2}", "habit:\n        weekday_shots: 2,5", 1)
	setup, err := Read(strings.NewReader(file))
	if err != nil || setup.Equipment[1].Machine.Habit.WeekdayShots != 2.5 {
		t.Errorf("got %+v, %v", setup, err)
	}
	_, err = Read(strings.NewReader(strings.Replace(file, "2,5", "1,250", 1)))
	if err == nil || !strings.Contains(err.Error(), "write 1250 or 1.25") {
		t.Errorf("1,250 gives %v", err)
	}
	_, err = Read(strings.NewReader(strings.Replace(kitchen, "{weekday_shots: 2}", "{weekday_shots: 2,5}", 1)))
	if err == nil || !strings.Contains(err.Error(), "between { and } commas part fields") {
		t.Errorf("2,5 between { and } gives %v", err)
	}
}

// Whatever is in the file, reading it ends, what is taken is valid, and what is not
// has at least one mistake with its line, or is not YAML.
func FuzzRead(f *testing.F) {
	catalogue, err := care.Embedded()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(kitchen)
	for _, base := range bases {
		f.Add(base)
		for _, m := range mistakeTable {
			if text := strings.Replace(base, m.right, m.wrong, 1); text != base {
				f.Add(text)
			}
		}
	}
	f.Add("place: &p {id: *p}\n")
	f.Add("care: {tasks: [{id: a}]}\n")
	f.Fuzz(func(t *testing.T, file string) {
		defer bound.Memory(t)()
		setup, err := Read(strings.NewReader(file), func(s schedule.Setup) error { return journal.CheckSetUp(catalogue, today, s) })
		if err == nil {
			if err := setup.Validate(); err != nil {
				t.Errorf("taken, but %v", err)
			}
			return
		}
		all, ok := record.MistakesOf(err)
		if !ok && !strings.HasPrefix(err.Error(), "not YAML: ") {
			t.Errorf("%v is no mistake of the file", err)
		}
		for _, wrong := range all {
			if wrong.Field == "" || wrong.Want == "" && wrong.Cause == nil {
				t.Errorf("%+v says nothing", wrong)
			}
		}
	})
}

// A number in place of a list of groups stands for so many as the layout has them.
func TestGroupsByTheirNumber(t *testing.T) {
	file := func(layout, groups string) string {
		return "place: {zone: Europe/Vienna}\nequipment: [{machine: {layout: " + layout + ", groups: " + groups + "}}]\n"
	}
	for layout, valve := range map[string]bool{"two boilers": true, "lever": false} {
		for n := 1; n <= 4; n++ {
			s, err := Read(strings.NewReader(file(layout, strconv.Itoa(n))))
			if err != nil {
				t.Fatal(err)
			}
			var groups []record.Group
			for _, e := range s.Equipment {
				if e.Machine != nil {
					groups = e.Machine.Groups
				}
			}
			ids := map[string]bool{}
			for _, g := range groups {
				ids[g.ID] = true
				if g.ThreeWayValve != valve || g.Lever == valve {
					t.Errorf("%s: %+v", layout, g)
				}
			}
			if len(groups) != n || len(ids) != n || ids[""] {
				t.Errorf("%s: %d groups are %+v", layout, n, groups)
			}
		}
	}
	for _, wrong := range []string{"0", "5", "two", "1.5", "-1"} {
		_, err := Read(strings.NewReader(file("lever", wrong)))
		if err == nil || !strings.Contains(err.Error(), "a number from 1 to 4, or a list of groups") {
			t.Errorf("groups: %s: %v", wrong, err)
		}
	}
}

// A habit that speaks of weekdays alone says nothing of weekends, least of all that nobody
// drinks; one that says 0 does, and written as a file it is said again.
func TestReadTakesTheDaysOfAWeekToBeAlike(t *testing.T) {
	for said, want := range map[string][2]float64{
		"weekday_shots: 60":                   {60, 60},
		"weekend_shots: 4":                    {4, 4},
		"weekday_shots: 60, weekend_shots: 0": {60, 0},
		"weekday_shots: 0, weekend_shots: 5":  {0, 5},
		"hot_hours: 3":                        {0, 0},
	} {
		setup, err := Read(strings.NewReader(strings.Replace(kitchen, "weekday_shots: 2", said, 1)))
		if err != nil {
			t.Fatal(err)
		}
		written, err := Write(setup, nil)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Read(bytes.NewReader(written))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []schedule.Setup{setup, again} {
			if h := s.Equipment[1].Machine.Habit; [2]float64{h.WeekdayShots, h.WeekendShots} != want {
				t.Errorf("%s is read as %v on weekdays and %v on weekends, want %v", said, h.WeekdayShots, h.WeekendShots, want)
			}
		}
	}
}
