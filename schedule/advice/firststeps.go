package advice

import (
	"fmt"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/say"
)

// FirstSteps says the next three things to do at a place, the one that tells most
// first: test the water where nobody measured it, the next sitting, whom to call, and
// else to subscribe to the calendar. There are always three.
func FirstSteps(f *day.Forecast) []string {
	var steps []string
	add := func(format string, values ...any) { steps = append(steps, fmt.Sprintf(format, values...)) }
	lines := 0
	for _, e := range f.Day.Book.Equipment() {
		if e.Line != nil {
			lines++
		}
	}
	for _, e := range f.Day.Book.Equipment() {
		if e.Line == nil {
			continue
		}
		which := "Test the water"
		if lines > 1 {
			which += " of " + e.Title()
		}
		tests := f.Day.Book.WaterTests(e.ID)
		if len(tests) == 0 {
			add("%s with a drop test and write it down: %s. No other single answer narrows the dates of descaling as much.", which, f.Day.Quote(schedule.Action{Verb: schedule.AddWaterTest}))
		} else if last := tests[len(tests)-1]; last.Body.Note != "" {
			add("%s with a drop test: what is written down is %s.", which, last.Body.Note)
		}
	}
	brief := f.Brief()
	if s := brief.Next; s != nil {
		add("%s: the first sitting, %.0f minutes, with %s.", s.Start.Format("Monday 2 January at 15:04"), s.Minutes, say.Count(len(s.Turns), "task"))
	}
	for _, v := range brief.Visits {
		if len(steps) < 3 {
			add("Call %s for %s by %s.", v.Who.People(), v.Name, v.CallBy.Long())
		}
	}
	for _, usual := range []string{
		fmt.Sprintf("Subscribe to the calendar, so that it reminds you: %s has its address.", f.Day.Quote(schedule.Action{Verb: schedule.Subscribe})),
		"Write down what is done, and what was found: each makes the next date better.",
		"Look at what is due, and why: each date has its reasons.",
	} {
		if len(steps) < 3 {
			add("%s", usual)
		}
	}
	return steps[:3]
}
