package say_test

import (
	"testing"
	"time"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// The reason that weighs most is the one that is said.
func TestWhyATurnStandsWhereItStands(t *testing.T) {
	shared := []string{"water off", "cold"}
	for _, c := range []struct {
		name   string
		turn   plan.Turn
		shared []string
		others bool
		want   string
	}{
		{"fixed by the owner", plan.Turn{Pinned: true, Behind: true}, shared, true, "You fixed the day."},
		{"late", plan.Turn{Behind: true}, shared, true, "It is past its likely date, and caught up with in turn."},
		{"weeks after its likely day", plan.Turn{Standing: plan.CanWait}, shared, true, "It stands well after its likely day, since waiting costs less than the life that it saves."},
		{"weeks before it, for company", plan.Turn{Standing: plan.SharesBest}, shared, true, "It is done weeks before its likely day, since the machine is cold for other work as well: a sitting of its own later would cost more."},
		{"weeks after it, for company", plan.Turn{Standing: plan.WaitsToShare}, nil, true, "It waits weeks beyond its likely day until there is a sitting for other work as well: a sitting of its own sooner would cost more than the wait."},
		{"past before today", plan.Turn{Standing: plan.FirstFromNow}, nil, true, "It is past its likely day, and no preferred time comes sooner."},
		{"with others that need the machine cold", plan.Turn{}, shared, true, "The machine is cold for other work as well."},
		{"with others that need the water off", plan.Turn{}, shared[:1], true, "The water is shut off for other work as well."},
		{"with others", plan.Turn{}, nil, true, "It is done along with the rest."},
		{"alone, near its date", plan.Turn{}, nil, false, ""},
	} {
		if got := say.Reason(c.turn, c.shared, c.others); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	if got, want := say.Turn(plan.Turn{Risk: 0.42, Unused: 0.05, Pinned: true}, nil, false), "42 % chance that its limit is passed by then, 5 % of its life given up; you fixed the day."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for gap, want := range map[float64]string{
		0.201: "No plan costs less by more than 20.1 %.",
		20.37: "How near the best possible it is cannot be said: what is past already, or cannot be met, leaves that open.",
	} {
		p := plan.Plan{Cost: 100 * gap, Strain: 100*gap - 100} // whose gap is this one
		if says := say.Plan(&plan.Request{}, p, false); says[len(says)-1] != want {
			t.Errorf("a gap of %g: %q, want %q", gap, says[len(says)-1], want)
		}
	}
	if got, want := say.NoSitting(record.NewDate(2028, time.May, 27)), "It has no sitting up to Sat 27 May 2028."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Two days of the same chance are not told as a difference.
func TestWouldBe(t *testing.T) {
	day := record.NewDate(2026, 12, 1)
	task := &plan.Task{}
	for i := range task.Due {
		task.Due[i] = day
	}
	for _, c := range []struct {
		from, to record.Date
		want     string
	}{
		{day + 1, day + 3, "On Fri 4 Dec 2026 there would be a 100 % chance that its limit is passed by then, no more than the 100 % on Wed 2 Dec 2026."},
		{day, day + 3, "On Fri 4 Dec 2026 there would be a 100 % chance that its limit is passed by then, instead of 0 % on Tue 1 Dec 2026."},
		{0, day + 3, "On Fri 4 Dec 2026 there would be a 100 % chance that its limit is passed by then."},
	} {
		if got := say.WouldBe(task, c.from, c.to); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
