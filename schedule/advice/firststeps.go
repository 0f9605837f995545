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
	for _, e := range f.Day.Book.Equipment() {
		if e.Line == nil {
			continue
		}
		tests := f.Day.Book.WaterTests(e.ID)
		if len(tests) == 0 {
			add("Test the water of %s with a drop test and write it down: %s. No other single answer narrows the dates of descaling as much.", e.Title(), f.Day.Quote(schedule.Action{Verb: schedule.AddWaterTest}))
		} else if last := tests[len(tests)-1]; last.Body.Note != "" {
			add("Test the water of %s with a drop test: what is written down is %s.", e.Title(), last.Body.Note)
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
		"Subscribe to the calendar, so that it reminds you: the page Calendar says how.",
		"Write down what is done, and what was found: each makes the next date better.",
		"Look at what is due, and why: each date has its reasons.",
	} {
		if len(steps) < 3 {
			add("%s", usual)
		}
	}
	return steps[:3]
}
