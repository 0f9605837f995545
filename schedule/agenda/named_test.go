package agenda_test

import (
	"strings"
	"testing"

	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// Entries name the equipment only where a place has several of that kind: nobody calls the
// only machine by its name, and with two grinders somebody has to know which.
func TestEntriesNameOneOfSeveral(t *testing.T) {
	for _, several := range []bool{false, true} {
		s := sample.Home()
		s.Equipment[1].Name = "Left grinder"
		if several {
			second := s.Equipment[1]
			second.ID, second.Name = "second", "Right grinder"
			s.Equipment = append(s.Equipment, second)
		}
		d, _ := sample.SetUp(t, s)
		a := sample.AgendaOf(t, d, at)
		seen := 0
		for _, e := range a.Entries {
			grinder := e.Due.Equipment == "grinder" || e.Due.Equipment == "second"
			if e.Unnamed == (several && grinder) && !e.Order && e.EveryDays == 0 {
				t.Errorf("several grinders %t: the entry of %s is named %t", several, e.Due.Task, !e.Unnamed)
			}
		}
		for _, e := range a.Sittings {
			for _, task := range e.Tasks {
				if task.Unnamed == (several && (task.Equipment == "grinder" || task.Equipment == "second")) {
					t.Errorf("several grinders %t: in a sitting %s is named %t", several, task.Task, !task.Unnamed)
				}
			}
			if strings.Contains(e.Summary, "Machine on the bench") {
				t.Errorf("%q names the only machine", e.Summary)
			}
			if strings.Contains(e.Summary, "t grinder") {
				seen++
			}
		}
		if (seen > 0) != several {
			t.Errorf("several grinders %t: %d sittings name one", several, seen)
		}
	}
	if (record.Equipment{Machine: &record.Machine{}}).SameKind(record.Equipment{Grinder: &record.Grinder{}}) {
		t.Error("a machine and a grinder are taken for one kind")
	}
}
