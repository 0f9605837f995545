package plan

import (
	"slices"
	"testing"
)

// What another routine task does with it needs no doing of its own: it stands with
// what does it, also where it would come round less often by itself.
func TestRoutineOfWhatAnotherCovers(t *testing.T) {
	detergent, water, wipe := invented("detergent", 15, 1, 0.1, 0), invented("water", 5, 7, 0.1, 0), invented("wipe", 5, 7, 0.1, 0)
	detergent.Covers = []string{"water"}
	r := &Request{Today: testToday, Prices: UsualPrices(), Slots: weekly(20, 120)}
	for _, task := range []Task{water, wipe, detergent} {
		task.Routine = true
		r.Tasks = append(r.Tasks, task)
	}
	rounds := made(r).Routine
	if len(rounds) != 2 {
		t.Fatalf("rounds %+v, want one a day and one a week", rounds)
	}
	day, week := rounds[0], rounds[1]
	if day.EveryDays != 1 || !slices.Equal(day.Tasks, []string{"detergent"}) || !slices.Equal(day.Covered, []string{"water"}) || day.Minutes != 15 {
		t.Errorf("each day: %+v", day)
	}
	if week.EveryDays != 7 || !slices.Equal(week.Tasks, []string{"wipe"}) || len(week.Covered) > 0 || week.Minutes != 5 {
		t.Errorf("each week: %+v", week)
	}
}
