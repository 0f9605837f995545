package day_test

import (
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// Night after night a plan that stands is looked over with little effort: with the usual
// one once a week, after anything was written down but use, and once a turn of it has
// passed.
func TestEffortOfQuietNights(t *testing.T) {
	records := tools(t)
	k := started(t, records, nil, func(o *day.Opener) { o.Nightly, o.PlanEffort = true, 0 })
	place, first := sample.Home().Place.ID, sample.Today
	write := func(on record.Date, body record.Body) {
		t.Helper()
		if _, err := records.Append(t.Context(), record.Entry{Place: place, Effective: on, Entered: on.In(time.UTC), Body: body}); err != nil {
			t.Fatal(err)
		}
	}
	quiet := func(from record.Date) (nights int) {
		t.Helper()
		for on := from; on < from+7; on++ {
			if k.Day(t, schedule.Moment{Place: place, Today: on}).Effort() == plan.QuietEffort {
				nights++
			}
		}
		return nights
	}
	publish := func(on, turn record.Date) {
		t.Helper()
		write(on, record.Publication{At: on.In(time.UTC), Turns: []record.PublishedTurn{{Task: "tools/scale-check", Number: 1, On: turn}}})
	}
	for _, c := range []struct {
		what string
		do   func()
		want int // of the seven nights from the second on
	}{
		{"nothing went out yet", func() {}, 0},
		{"a plan went out", func() { publish(first, first+30) }, 6},
		{"use came in", func() { write(first, record.UseBatch{Machine: "machine", From: first, To: first}) }, 6},
		{"something was done", func() { write(first, record.Service{Task: "tools/scale-check"}) }, 0},
		{"another plan went out", func() { publish(first, first+30) }, 6},
		{"one with a turn that passes", func() { publish(first, first) }, 0},
	} {
		c.do()
		if got := quiet(first + 1); got != c.want {
			t.Errorf("%s: %d of seven nights are quiet, not %d", c.what, got, c.want)
		}
	}
	k.Nightly = false
	publish(first, first+30)
	if got := quiet(first + 1); got != 0 {
		t.Errorf("%d of seven days are quiet where plans are not made by night", got)
	}
}

// In the nights of many places the plan is made once: what goes out is what was made, and
// where nothing but days pass it stays as it went out.
func TestQuietNightsHoldToWhatWentOut(t *testing.T) {
	_, records := sample.LivedIn(t)
	k := started(t, records, nil, func(o *day.Opener) { o.Nightly, o.PlanEffort, o.Worlds, o.PlanMonths = true, 0, 100, 9 })
	var before map[string]record.Date
	quiet := 0
	for on := today; on < today+4; on++ {
		f := k.Forecast(t, schedule.Moment{Today: on})
		if f.Day.Effort() == plan.QuietEffort {
			quiet++
		}
		published, err := f.Published(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if published != f {
			t.Fatal("the plan is made once more before it goes out")
		}
		next := map[string]record.Date{}
		for _, turn := range f.Turns() {
			if turn.Number == 1 {
				next[turn.Task] = turn.On
			}
		}
		for task, was := range before {
			if now := next[task]; was >= on && now != was {
				t.Errorf("%s: %s stands on %s, and went out for %s", on, task, now, was)
			}
		}
		before = next
		if _, err := records.Append(t.Context(), record.Entry{Place: f.Day.Place.ID, Effective: on, Entered: on.In(time.UTC), Source: "night", Body: record.Publication{At: on.In(time.UTC), Turns: f.Turns()}}); err != nil {
			t.Fatal(err)
		}
	}
	if quiet == 0 {
		t.Error("no night is quiet")
	}
}
