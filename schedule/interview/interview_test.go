package interview_test

import (
	"errors"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/interview"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

var today = record.NewDate(2026, 11, 27)

// ask goes through all questions, answering each by a function.
func ask(t *testing.T, answer func(interview.Question) string) interview.Answers {
	t.Helper()
	a := interview.Answers{}
	for range 50 {
		q, ok := a.Next("Europe/Lisbon")
		if !ok {
			return a
		}
		is, err := q.Read(answer(q), today)
		if err != nil {
			t.Fatalf("%s: %v", q.ID, err)
		}
		a[q.ID] = is
	}
	t.Fatal("it never ends")
	return nil
}

// Whatever is answered, the place can be set up: each option of each choice with all
// else unknown, and each with all else known.
func TestEveryAnswerMakesAPlace(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	fits := func(a interview.Answers) {
		t.Helper()
		told := a.Place(today, "Europe/Lisbon")
		if err := journal.CheckSetUp(catalogue, today, told.Setup); err != nil {
			t.Errorf("%v: %v", a, err)
		}
		if again := schedule.FillIn(told.Setup); !reflect.DeepEqual(again, told.Setup) {
			t.Errorf("%v: it is not filled in", a)
		}
		for _, test := range told.Tests {
			if err := test.Validate(); err != nil {
				t.Errorf("%v: %v", a, err)
			}
		}
	}
	fits(interview.Answers{})
	fits(ask(t, func(interview.Question) string { return "" }))
	known := func(q interview.Question) string {
		switch q.Kind {
		case interview.Choice:
			return q.Options[0].Value
		case interview.Day:
			return "2024"
		}
		return q.Usual
	}
	seen := map[string]bool{}
	for _, others := range []func(interview.Question) string{known, func(interview.Question) string { return "?" }} {
		for _, lead := range []string{"test", "kettle"} { // questions that only follow some answers
			base := ask(t, func(q interview.Question) string {
				switch q.ID {
				case "water":
					return lead
				case "filter":
					return "softener"
				case "came":
					return "used"
				}
				return others(q)
			})
			fits(base)
			for _, q := range interview.Questions(base, "Europe/Lisbon") {
				seen[q.ID] = true
				for _, o := range q.Options {
					fits(ask(t, func(x interview.Question) string {
						if x.ID == q.ID {
							return o.Label
						}
						if base[x.ID] != "" {
							return base[x.ID]
						}
						return "I don't know"
					}))
				}
			}
		}
	}
	if len(seen) < 18 {
		t.Errorf("only %d questions were asked", len(seen))
	}
}

// What a machine is follows from the answers.
func TestPlace(t *testing.T) {
	a := ask(t, func(q interview.Question) string {
		return map[string]string{
			"layout": "2", "supply": "mains", "groups": "Two", "setting": "home", "came": "used", "since": "2025-03", "made": "2018", "cups": "20", "milk": "5", "hot": "0.4",
			"water": "report", "hardness": "14", "alkalinity": "200 mg/L CaCO3", "filter": "softener", "fitted": "2026-06-01", "litres": "1200", "grinder": "motor", "when": "monday", "name": "The office",
		}[q.ID]
	})
	told := a.Place(today, "Europe/Lisbon")
	var machine record.Equipment
	for _, e := range told.Setup.Equipment {
		if e.Machine != nil {
			machine = e
		}
	}
	m := machine.Machine
	if len(m.Vessels) != 2 || len(m.Groups) != 2 || !machine.Used || machine.Bought != record.NewDate(2025, 3, 15) || machine.Made != record.NewDate(2018, 7, 1) ||
		m.Habit.WeekdayShots != 20 || *m.Habit.SteamedShare != 0.25 || m.Habit.HotWater() != 0.4 || told.Setup.Place.Zone != "Europe/Lisbon" || told.Setup.Place.Name != "The office" {
		t.Errorf("got %+v, %+v", machine, m)
	}
	if len(told.Tests) != 1 || len(told.Tests[0].Test.Values) != 2 || len(told.Setup.Equipment) != 3 {
		t.Errorf("tests %+v", told.Tests)
	}
	if !strings.Contains(strings.Join(told.Assumed, "\n"), "looked after") || len(told.Assumed) != 2 { // cared and zone
		t.Errorf("assumed %q", told.Assumed)
	}
}

func TestReadRefuses(t *testing.T) {
	questions := map[string]interview.Question{}
	for _, a := range []interview.Answers{{"layout": "lever", "came": "used", "water": "test", "filter": "softener"}, {"water": "kettle"}} {
		for _, q := range interview.Questions(a, "") {
			questions[q.ID] = q
		}
	}
	for _, c := range []struct{ id, typed string }{
		{"layout", "9"}, {"layout", "0"}, {"layout", "three boilers"}, {"cups", "-1"}, {"cups", "many"}, {"cups", "1,250"}, {"cups", "99999"}, {"cups", "0"}, {"hot", "201"}, {"since", "soon"},
		{"since", "2031"}, {"since", "1650"}, {"since", "2026-12"}, {"hardness", "hard"}, {"hardness", "14 miles"}, {"hardness", "99999 dH"}, {"zone", "Mars/Olympus"},
		{"name", strings.Repeat("x", 201)},
	} {
		_, err := questions[c.id].Read(c.typed, today)
		var wrong *record.FieldError
		if !errors.As(err, &wrong) || wrong.Want == "" {
			t.Errorf("%s: %q gives %v", c.id, c.typed, err)
		}
	}
	if is, err := questions["since"].Read("2026", today); is != "2026" || err != nil {
		t.Errorf("this year: %q, %v", is, err)
	}
}

// What not knowing costs is worked out: an answer narrows the window.
func TestCost(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	asked := interview.Answers{"layout": "two boilers", "cups": "8", "water": "kettle"}
	for _, q := range interview.Questions(asked, "Europe/Lisbon") {
		if q.ID != "kettle" && q.ID != "cared" {
			continue
		}
		says, err := asked.Cost(t.Context(), catalogue, today, "Europe/Lisbon", q)
		figures := regexp.MustCompile(`[0-9]+(\.[0-9]+)?`).FindAllString(says, -1)
		if err != nil || len(figures) != 2 {
			t.Fatalf("%s: %q, %v", q.ID, says, err)
		}
		t.Log(q.ID, says)
		unknown, _ := strconv.ParseFloat(figures[0], 64)
		known, _ := strconv.ParseFloat(figures[1], 64)
		if unknown < 1.1*known {
			t.Errorf("%s: an answer narrows nothing: %s", q.ID, says)
		}
	}
	factors := regexp.MustCompile(`factor of ([0-9.]*[0-9]).* of ([0-9.]*[0-9])`)
	for _, q := range interview.Questions(interview.Answers{"came": "used"}, "Europe/Lisbon") {
		says, err := interview.Answers{"layout": "two boilers", "cups": "8"}.Cost(t.Context(), catalogue, today, "Europe/Lisbon", q)
		if err != nil || says == "" {
			t.Fatalf("%s: %q, %v", q.ID, says, err)
		}
		t.Log(q.ID, says)
		if q.ID != "water" && q.ID != "cups" {
			continue
		}
		f := factors.FindStringSubmatch(says)
		if f == nil {
			t.Fatalf("%s: %s", q.ID, says)
		}
		unknown, _ := strconv.ParseFloat(f[1], 64)
		known, _ := strconv.ParseFloat(f[2], 64)
		if unknown < 1.1*known || known <= 1 {
			t.Errorf("%s: an answer narrows nothing: %s", q.ID, says)
		}
	}
}

// Nobody is asked for the past of what came new today, nor told what is assumed of it; of a
// machine that came new a year ago it is asked.
func TestNewHasNoPast(t *testing.T) {
	asks := func(a interview.Answers) bool {
		return slices.ContainsFunc(interview.Questions(a, ""), func(q interview.Question) bool { return q.ID == "cared" })
	}
	for _, c := range []struct {
		answers interview.Answers
		asked   bool
	}{
		{interview.Answers{"came": "new", "since": interview.DontKnow}, false},
		{interview.Answers{"came": "new", "since": "2024"}, true},
		{interview.Answers{"came": "used", "since": interview.DontKnow}, true},
		{interview.Answers{"came": interview.DontKnow, "since": interview.DontKnow}, true},
	} {
		if got := asks(c.answers); got != c.asked {
			t.Errorf("%v: asked is %v", c.answers, got)
		}
		if says := strings.Contains(strings.Join(c.answers.Place(today, "").Assumed, " "), "a past that nobody knows: a first sitting"); says != c.asked {
			t.Errorf("%v: its past is assumed: %v", c.answers, says)
		}
	}
	bought := interview.Answers{"came": "new", "since": today.String()}
	if all := strings.Join(bought.Place(today, "").Assumed, " "); strings.Contains(all, "looked after") {
		t.Errorf("bought today: %s", all)
	}
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range interview.Questions(bought, "") {
		if q.ID != "cared" {
			continue
		}
		if says, err := bought.Cost(t.Context(), catalogue, today, "Etc/UTC", q); err != nil || strings.Contains(says, "0 kinds") {
			t.Errorf("bought today, not knowing costs: %q, %v", says, err)
		}
	}
}
