package day_test

import (
	"slices"
	"testing"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// sittingOn returns what the plan has in the sitting of a day, and how much room it has.
func sittingOn(p day.PlanInfo, date record.Date) (tasks []string, room float64) {
	for _, s := range p.Sittings {
		if record.DateOf(s.Start) != date {
			continue
		}
		room = s.Room
		for _, t := range s.Turns {
			tasks = append(tasks, t.Task)
		}
	}
	return tasks, room
}

// Once some of a day's sitting is written down as done, what went out as part of it goes on
// and nothing else joins it: the plan never has two sittings on one day. Where nothing ever
// went out, the time that was used is gone.
func TestNothingJoinsASittingThatWasBegun(t *testing.T) {
	for _, wentOut := range []bool{true, false} {
		k, _ := sample.SetUp(t, unknownKitchen())
		date := record.DateOf(k.Forecast(t, at).Plan().Sittings[0].Start)
		then := at
		then.Today = date
		if wentOut {
			if _, err := k.Publisher.Publish(t.Context(), then); err != nil {
				t.Fatal(err)
			}
		}
		was, room := sittingOn(k.Forecast(t, then).Plan(), date)
		var left []string
		used := 0.0
		for _, task := range was {
			d := k.Day(t, then)
			if _, err := k.Journal.Done(t.Context(), d, date, record.Service{Task: task}); err != nil {
				left = append(left, task) // it is done by what is measured
				continue
			}
			duty, err := d.Duty(task)
			if err != nil {
				t.Fatal(err)
			}
			used += duty.Task.Hands()
		}
		if used == 0 {
			t.Fatalf("nothing of %v was done", was)
		}
		now, lessRoom := sittingOn(k.Forecast(t, then).Plan(), date)
		if wentOut && !slices.Equal(slices.Sorted(slices.Values(left)), slices.Sorted(slices.Values(now))) {
			t.Errorf("of %v are left %v, and planned for the same day %v", was, left, now)
		}
		if !wentOut && len(now) > 0 && lessRoom > room-used {
			t.Errorf("%v minutes of %v were used, and %v are planned with", used, room, lessRoom)
		}
	}
}
