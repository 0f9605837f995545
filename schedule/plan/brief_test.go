package plan

import (
	"slices"
	"testing"

	"limekeep/schedule/record"
)

// What is soon done, past its likely day, and comes again within a month is done at the
// next sitting, however full that is: it lasts a quarter of an hour longer, and nothing
// leaves it. A sitting a week later was too late for a backflush that was a day overdue,
// where renewing seals and taking a grinder apart filled the next one. What takes longer
// waits for its turn.
func TestWhatIsBriefWaitsForNoOther(t *testing.T) {
	past := func(id string, minutes, life float64) Task {
		return invented(id, minutes, life, 0.1, 1+record.Date(life))
	}
	for _, c := range []struct {
		name   string
		tasks  []Task
		pinned bool // the owner has the first on the day of the first slot
		first  []string
		over   []string
	}{
		{"full by catching up", []Task{past("seals", 60, 400), past("grinder", 60, 400), past("jets", 60, 400), past("wand", 30, 400), past("backflush", 15, 17)}, false,
			[]string{"backflush", "grinder", "jets"}, []string{"backflush"}},
		{"full by the owner's wish", []Task{past("descale", 120, 400), past("backflush", 15, 17)}, true, []string{"backflush", "descale"}, []string{"backflush"}},
		{"not brief", []Task{past("descale", 120, 400), past("soak", 25, 17)}, true, []string{"descale"}, nil},
		{"seldom", []Task{past("descale", 120, 400), past("look", 15, 400)}, true, []string{"descale"}, nil},
		{"room enough", []Task{past("seals", 60, 400), past("backflush", 15, 17)}, true, []string{"backflush", "seals"}, nil},
	} {
		r := &Request{Today: testToday, Prices: UsualPrices(), Slots: weekly(20, 120), Tasks: c.tasks}
		for i := range r.Tasks {
			if r.Tasks[i].Worth > 100 {
				r.Tasks[i].Rank = Harm
			}
		}
		if c.pinned {
			r.Tasks[0].On = r.Slots[0].Date()
		}
		s := made(r).Sittings[0]
		var ids []string
		for _, turn := range s.Turns {
			ids = append(ids, turn.Task)
		}
		slices.Sort(ids)
		if !slices.Equal(ids, c.first) || !slices.Equal(s.Brief, c.over) || s.Long != (len(c.over) > 0) || s.Elapsed() > s.Minutes+briefMinutes {
			t.Errorf("%s: the first sitting has %v, %v of %v minutes, runs over for %v", c.name, ids, s.Elapsed(), s.Minutes, s.Brief)
		}
	}
}
