package day_test

import (
	"context"
	"errors"
	"testing"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// Where a task stands follows each move, and names what holds it.
func TestPositionFollowsMoves(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	const task = "bench/group-gasket/group"
	was, err := d.Forecast(t, at).Positions().Of("group-gasket", 0)
	if err != nil {
		t.Fatal(err)
	}
	if was.Task != task || !was.Movable || was.On == nil || was.Next == nil || *was.Next <= *was.On || was.NextRisk < was.Risk || was.Fixed != nil || was.After != nil || was.First != today {
		t.Fatalf("%+v", was)
	}
	sample.HoldsAll(t, was.Says, "It is planned for "+was.On.Long())
	for _, c := range []struct {
		move         day.Move
		to           record.Date
		on           record.Date // 0 for any
		fixed, after bool
	}{
		{day.MoveNext, 0, *was.Next, true, false},
		{day.MoveTo, today + 1, today + 1, true, false},
		{day.MoveFree, 0, *was.On, false, false},
		{day.MoveFix, 0, *was.On, true, false},
		{day.MoveFree, 0, *was.On, false, false},
		{day.MoveSkip, 0, 0, false, true},
	} {
		before, err := d.Forecast(t, at).Positions().Of(task, 0)
		if err != nil {
			t.Fatal(err)
		}
		moved, err := d.Journal.MoveTask(ctx, d.Day(t, at), task, c.move, c.to)
		if err != nil {
			t.Fatalf("%s: %v", c.move, err)
		}
		s, err := d.Forecast(t, at).Positions().Of(task, *before.On)
		if err != nil {
			t.Fatal(err)
		}
		if s.Says != moved.Says || s.On == nil || moved.To == nil || *s.On != *moved.To || s.Risk != moved.After {
			t.Errorf("%s: it stands so: %+v, but was moved so: %+v", c.move, s, moved)
		}
		if c.on != 0 && *s.On != c.on || (s.Fixed != nil) != c.fixed || (s.After != nil) != c.after {
			t.Errorf("%s: %+v", c.move, s)
		}
		if c.move == day.MoveSkip && *s.On <= *s.After {
			t.Errorf("put off beyond %s, it is planned for %s", s.After, s.On)
		}
	}
}

// What has no sitting cannot be moved.
func TestPositionOfWhatHasNoSitting(t *testing.T) {
	setup := sample.Home()
	setup.Equipment[0].Machine.Setting = record.Bar // which backflushes daily
	d, _ := sample.SetUp(t, setup)
	if s, err := d.Forecast(t, at).Positions().Of("backflush-water", 0); err != nil || s.Movable || s.Says != "" || s.On != nil {
		t.Errorf("the routine: %+v, %v", s, err)
	}
	if _, err := d.Forecast(t, at).Positions().Of("polish", 0); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("an unknown task: %v", err)
	}
	dues := d.Forecast(t, at).Due()
	for _, due := range dues {
		s, err := d.Forecast(t, at).Positions().Of(due.Task, 0)
		if err != nil || s.Movable == (due.Routine || due.OnItsDay) || (s.On == nil) != (due.Sitting == nil && due.Visit == nil) {
			t.Errorf("%s: %+v, %v", due.Task, s, err)
		}
	}
}
