package interview_test

import (
	"slices"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/interview"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// asked goes through the questions about what is added, answering each by a function.
func asked(t *testing.T, what interview.Addition, to schedule.Setup, answer func(interview.Question) string) interview.Answers {
	t.Helper()
	a := interview.Answers{}
	for range 30 {
		all := interview.QuestionsToAdd(what, a, to)
		i := slices.IndexFunc(all, func(q interview.Question) bool { return a[q.ID] == "" })
		if i < 0 {
			return a
		}
		is, err := all[i].Read(answer(all[i]), today)
		if err != nil {
			t.Fatalf("%s: %v", all[i].ID, err)
		}
		a[all[i].ID] = is
	}
	t.Fatal("it never ends")
	return nil
}

// Whatever is answered, and where nothing is, what is added fits the place: each option
// of each choice, beside one machine, beside several, and where ids were given before.
func TestWhateverIsAddedFits(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	one := interview.Answers{"grinder": "motor", "filter": "softener", "came": "new"}.Place(today, "Europe/Lisbon").Setup
	two, _, _ := interview.Answers{"line": "new", "supply": "mains"}.Add(interview.AddMachine, one, today, takenIn(one))
	for name, to := range map[string]schedule.Setup{"one machine": one, "two": two} {
		for _, what := range []interview.Addition{interview.AddMachine, interview.AddGrinder, interview.AddLine, interview.AddCartridge} {
			fits := func(a interview.Answers) {
				t.Helper()
				added, id, assumed := a.Add(what, to, today, takenIn(to))
				if err := journal.CheckSetUp(catalogue, today, added); err != nil {
					t.Errorf("%s: %s %v: %v", name, what, a, err)
				}
				more := len(added.Equipment) - len(to.Equipment)
				newLine := what == interview.AddMachine && a["line"] == "new"
				if want := map[bool]int{true: 2, false: 1}[newLine]; what != interview.AddCartridge && more != want || what == interview.AddCartridge && more != 0 || id == "" {
					t.Errorf("%s: %s %v: %d more, id %q", name, what, a, more, id)
				}
				if len(a) == 0 && len(assumed) == 0 {
					t.Errorf("%s: %s: nothing is said to be assumed", name, what)
				}
				for _, e := range to.Equipment { // what was there keeps its parts
					i := slices.IndexFunc(added.Equipment, func(x record.Equipment) bool { return x.ID == e.ID })
					if i < 0 || e.Line != nil && len(added.Equipment[i].Line.Treatment) < len(e.Line.Treatment) {
						t.Errorf("%s: %s: %s is gone", name, what, e.ID)
					}
				}
			}
			fits(interview.Answers{})
			usual := func(q interview.Question) string {
				switch q.Kind {
				case interview.Choice:
					return q.Options[0].Value
				case interview.Day:
					return "2024"
				}
				return q.Usual
			}
			all := asked(t, what, to, usual)
			fits(all)
			for _, q := range interview.QuestionsToAdd(what, all, to) {
				for _, o := range q.Options {
					fits(asked(t, what, to, func(x interview.Question) string {
						if x.ID == q.ID {
							return o.Value
						}
						return usual(x)
					}))
				}
			}
		}
	}
}

func takenIn(s schedule.Setup) func(string) bool {
	return func(id string) bool {
		for _, e := range s.Equipment {
			if e.ID == id {
				return true
			}
			if e.Line != nil && slices.ContainsFunc(e.Line.Treatment, func(t record.Treatment) bool { return t.ID == id }) {
				return true
			}
		}
		return false
	}
}

// What was answered is what is added.
func TestWhatIsAdded(t *testing.T) {
	to := interview.Answers{"came": "new"}.Place(today, "Europe/Lisbon").Setup
	added, id, _ := interview.Answers{"name": "Lever", "layout": "lever", "line": "new", "supply": "mains", "filter": "decarboniser", "litres": "700", "groups": "2", "setting": "bar", "came": "new", "since": "2026-05-01", "cups": "80"}.
		Add(interview.AddMachine, to, today, takenIn(to))
	var lever, line record.Equipment
	for _, e := range added.Equipment {
		if e.ID == id {
			lever = e
		}
	}
	for _, e := range added.Equipment {
		if lever.Machine != nil && e.ID == lever.Machine.Line {
			line = e
		}
	}
	if id != "machine-2" || lever.Name != "Lever" || len(lever.Machine.Groups) != 2 || !lever.Machine.Groups[0].Lever || lever.Machine.Setting != record.Bar || lever.Used || lever.Bought != record.NewDate(2026, 5, 1) || lever.Machine.Habit.WeekdayShots != 80 {
		t.Errorf("got %+v", lever)
	}
	if line.ID != "water-2" || line.Line.Supply != record.Mains || len(line.Line.Treatment) != 1 || line.Line.Treatment[0].RatedLitres != 700 {
		t.Errorf("its line is %+v", line)
	}
	added, id, _ = interview.Answers{"line": "water-2", "filter": "carbon", "before": "none", "fitted": "2026-11-01"}.Add(interview.AddCartridge, added, today, takenIn(added))
	i := slices.IndexFunc(added.Equipment, func(e record.Equipment) bool { return e.ID == "water-2" })
	if l := added.Equipment[i].Line; id != "water-2" || len(l.Treatment) != 2 || l.Treatment[1].Kind != record.Carbon || l.Treatment[1].Before != record.NoneBefore || l.Treatment[1].Fitted != record.NewDate(2026, 11, 1) || l.Treatment[1].ID == l.Treatment[0].ID {
		t.Errorf("got %+v", l)
	}
}
