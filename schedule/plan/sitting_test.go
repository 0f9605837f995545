package plan_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// today is the day of all plans here, a Monday.
var today = record.NewDate(2026, 3, 2)

// slotOn is a slot of so many minutes, at ten, so many days from today.
func slotOn(days int, minutes float64) plan.Slot {
	return plan.Slot{Start: (today + record.Date(days)).In(time.UTC).Add(10 * time.Hour), Minutes: minutes}
}

// weekly gives Saturdays: 5, 12, 19... days from today.
func weekly(n int, minutes float64) []plan.Slot {
	var slots []plan.Slot
	for i := range n {
		slots = append(slots, slotOn(5+7*i, minutes))
	}
	return slots
}

// due makes a candidate of half an hour with its window in days from today,
// fresh a hundred days before its likely date.
func due(task string, early, likely, late int) plan.Candidate {
	d := func(days int) record.Date { return today + record.Date(days) }
	return plan.Candidate{Task: task, Minutes: 30, Fresh: d(likely - 100), Early: d(early), Likely: d(likely), Late: d(late)}
}

func with(c plan.Candidate, change func(*plan.Candidate)) plan.Candidate {
	change(&c)
	return c
}

func cold(c plan.Candidate) plan.Candidate {
	return with(c, func(c *plan.Candidate) { c.Cold = true })
}

func minutes(c plan.Candidate, m float64) plan.Candidate {
	return with(c, func(c *plan.Candidate) { c.Minutes = m })
}

func TestArrange(t *testing.T) {
	// A sitting is written as its day from today and its tasks in order.
	tests := []struct {
		name       string
		candidates []plan.Candidate
		slots      []plan.Slot
		want       []string
	}{
		{"nothing to do", nil, weekly(3, 120), nil},
		{"no slot", []plan.Candidate{due("a", 1, 5, 9)}, nil, nil},
		{"the last slot before the likely date", []plan.Candidate{due("a", 10, 18, 30)}, weekly(4, 120), []string{"12 a"}},
		{"a slot on the likely date itself", []plan.Candidate{due("a", 10, 19, 30)}, weekly(4, 120), []string{"19 a"}},
		{"due before the first slot: the first", []plan.Candidate{due("a", 1, 3, 9)}, weekly(4, 120), []string{"5 a"}},
		{"overdue: the first", []plan.Candidate{due("a", -80, -60, -40)}, weekly(4, 120), []string{"5 a"}},
		{"a slot of today counts", []plan.Candidate{due("a", -80, -60, -40)}, append([]plan.Slot{slotOn(0, 60)}, weekly(2, 60)...), []string{"0 a"}},
		{"a slot of yesterday does not", []plan.Candidate{due("a", -80, -60, -40)}, append([]plan.Slot{slotOn(-1, 60)}, weekly(2, 60)...), []string{"5 a"}},
		{"beyond every slot there is none", []plan.Candidate{due("a", 1, 60, 90)}, weekly(3, 120), nil},
		{"no likely date, no sitting", []plan.Candidate{with(due("a", 3, 9, 20), func(c *plan.Candidate) { c.Likely, c.Late = 0, 0 })}, weekly(3, 120), nil},
		{"no late date is no matter", []plan.Candidate{with(due("a", 3, 14, 20), func(c *plan.Candidate) { c.Late = 0 })}, weekly(3, 120), []string{"12 a"}},

		{"what is open by then joins", []plan.Candidate{due("a", 4, 13, 20), due("b", 11, 20, 30)}, weekly(4, 120), []string{"12 a b"}},
		{"what is not open yet waits", []plan.Candidate{due("a", 4, 13, 20), due("b", 13, 20, 30)}, weekly(4, 120), []string{"12 a", "19 b"}},
		{"what has no early date does not join", []plan.Candidate{due("a", 4, 13, 20), with(due("b", 1, 20, 30), func(c *plan.Candidate) { c.Early = 0 })}, weekly(4, 120), []string{"12 a", "19 b"}},
		// Fresh a hundred days before: joining twenty days early is a fifth of its life.
		{"a fifth of a life may be thrown away", []plan.Candidate{due("a", 4, 13, 20), due("b", 1, 32, 60)}, weekly(6, 120), []string{"12 a b"}},
		{"more than a fifth may not", []plan.Candidate{due("a", 4, 13, 20), due("b", 1, 33, 60)}, weekly(6, 120), []string{"12 a", "33 b"}},
		{"the overdue all together", []plan.Candidate{due("b", -9, -5, 3), due("a", -90, -60, -20)}, weekly(2, 120), []string{"5 a b"}},

		{"no more than there is time for", []plan.Candidate{minutes(due("a", 4, 13, 20), 60), minutes(due("b", 4, 14, 20), 45), minutes(due("c", 4, 15, 20), 60)},
			weekly(4, 120), []string{"5 c", "12 a b"}},
		{"just as much as there is time for", []plan.Candidate{minutes(due("a", 4, 13, 20), 60), minutes(due("b", 4, 14, 20), 60)}, weekly(4, 120), []string{"12 a b"}},
		{"a shorter one fits in behind a longer that does not", []plan.Candidate{minutes(due("a", 4, 13, 20), 60), minutes(due("b", 4, 14, 20), 90), minutes(due("c", 4, 15, 20), 30)},
			weekly(4, 120), []string{"5 b", "12 a c"}},
		{"work longer than any slot stands alone", []plan.Candidate{minutes(due("a", 4, 13, 20), 300), due("b", 4, 14, 20)}, weekly(4, 120), []string{"5 b", "12 a"}},
		{"the last slot is taken, so the one before it", []plan.Candidate{minutes(due("a", 4, 19, 20), 120), minutes(due("b", 4, 19, 21), 120)}, weekly(3, 120), []string{"12 b", "19 a"}},
		{"one more than there are slots", []plan.Candidate{minutes(due("a", 1, 5, 20), 120), minutes(due("b", 1, 5, 21), 120)}, weekly(1, 120), []string{"5 a"}},

		{"hot work comes before cold", []plan.Candidate{cold(due("a", 4, 13, 20)), due("b", 4, 14, 20), cold(due("c", 4, 15, 20)), due("d", 4, 16, 20)}, weekly(4, 120), []string{"12 b d a c"}},
		{"of the same likely date the one that must be done sooner", []plan.Candidate{minutes(due("a", 4, 13, 30), 120), minutes(due("b", 4, 13, 20), 120)}, weekly(4, 120), []string{"5 a", "12 b"}},
		{"of the same likely date one without a late date last", []plan.Candidate{with(minutes(due("a", 4, 13, 20), 120), func(c *plan.Candidate) { c.Late = 0 }), minutes(due("b", 4, 13, 20), 120)}, weekly(4, 120), []string{"5 a", "12 b"}},
		{"of the same window by name", []plan.Candidate{minutes(due("b", 4, 13, 20), 120), minutes(due("a", 4, 13, 20), 120)}, weekly(4, 120), []string{"5 b", "12 a"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var got []string
			for _, s := range plan.Arrange(test.candidates, test.slots, today) {
				line := fmt.Sprint(int(s.Date() - today))
				for _, task := range s.Tasks {
					line += " " + task
				}
				got = append(got, line)
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("sittings (-want +got):\n%s", diff)
			}
		})
	}
}

// drawn gives anything that could have to be arranged.
func drawn(t *rapid.T) ([]plan.Candidate, []plan.Slot) {
	var candidates []plan.Candidate
	for i := range rapid.IntRange(0, 12).Draw(t, "candidates") {
		early := rapid.IntRange(-60, 120).Draw(t, "early")
		likely := early + rapid.IntRange(0, 90).Draw(t, "to likely")
		c := due(fmt.Sprintf("t%02d", i), early, likely, likely+rapid.IntRange(0, 90).Draw(t, "to late"))
		c.Minutes = rapid.Float64Range(5, 200).Draw(t, "minutes")
		c.Cold = rapid.Bool().Draw(t, "cold")
		c.Fresh = c.Likely - record.Date(rapid.IntRange(1, 800).Draw(t, "life"))
		switch rapid.IntRange(0, 9).Draw(t, "beyond") {
		case 0:
			c.Late = 0
		case 1:
			c.Likely, c.Late = 0, 0
		case 2:
			c.Early, c.Likely, c.Late = 0, 0, 0
		}
		candidates = append(candidates, c)
	}
	days := rapid.SliceOfNDistinct(rapid.IntRange(-10, 150), 0, 12, rapid.ID[int]).Draw(t, "slots")
	slices.Sort(days)
	var slots []plan.Slot
	for _, d := range days {
		slots = append(slots, slotOn(d, rapid.Float64Range(15, 240).Draw(t, "slot's minutes")))
	}
	return candidates, slots
}

func TestArrangeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		candidates, slots := drawn(t)
		givenCandidates, givenSlots := slices.Clone(candidates), slices.Clone(slots)
		sittings := plan.Arrange(candidates, slots, today)
		if !cmp.Equal(givenCandidates, candidates) || !cmp.Equal(givenSlots, slots) {
			t.Fatal("what was given was changed")
		}
		byTask := map[string]plan.Candidate{}
		for _, c := range candidates {
			byTask[c.Task] = c
		}
		usable := slices.DeleteFunc(slices.Clone(slots), func(s plan.Slot) bool { return s.Date() < today })
		planned := map[string]record.Date{}
		for i, s := range sittings {
			if i > 0 && !sittings[i-1].Start.Before(s.Start) {
				t.Fatalf("the sitting of %s does not come after that of %s", s.Start, sittings[i-1].Start)
			}
			if !slices.Contains(usable, s.Slot) {
				t.Fatalf("a sitting at %s: no slot from today on", s.Start)
			}
			if len(s.Tasks) == 0 {
				t.Fatalf("nothing is done at %s", s.Start)
			}
			total, seenCold := 0.0, false
			for _, task := range s.Tasks {
				c, ok := byTask[task]
				if _, twice := planned[task]; !ok || twice {
					t.Fatalf("%s is planned for %s, known %t, planned before %t", task, s.Start, ok, twice)
				}
				planned[task] = s.Date()
				total += c.Minutes
				if seenCold && !c.Cold {
					t.Fatalf("%s needs heat and comes after cold work", task)
				}
				seenCold = seenCold || c.Cold
			}
			if len(s.Tasks) > 1 && total > s.Minutes+1e-9 {
				t.Fatalf("%v minutes of work in %v", total, s.Minutes)
			}
		}
		for _, c := range candidates {
			on, ok := planned[c.Task]
			switch {
			case c.Likely == 0 && ok:
				t.Fatalf("%s lies beyond every plan and is planned for %s", c.Task, on)
			case c.Likely != 0 && !ok && len(sittings) < len(usable) && c.Likely <= usable[len(usable)-1].Date():
				t.Fatalf("%s, likely due on %s, has no sitting, though %d of %d slots are free", c.Task, c.Likely, len(usable)-len(sittings), len(usable))
			}
		}
		// What is overdue stands in the first slot, alone if need be.
		overdue := slices.ContainsFunc(candidates, func(c plan.Candidate) bool { return c.Likely != 0 && c.Likely <= today })
		if overdue && len(usable) > 0 && (len(sittings) == 0 || sittings[0].Start != usable[0].Start) {
			t.Fatalf("something is overdue and the slot of %s stays empty", usable[0].Start)
		}
	})
}

// The order in which candidates are handed over decides nothing.
func TestArrangeDoesNotDependOnOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		candidates, slots := drawn(t)
		shuffled := rapid.Permutation(candidates).Draw(t, "shuffled")
		if diff := cmp.Diff(plan.Arrange(candidates, slots, today), plan.Arrange(shuffled, slots, today)); diff != "" {
			t.Fatalf("another order gave another plan:\n%s", diff)
		}
	})
}
