package say

import (
	"fmt"
	"strings"
	"time"

	"limekeep/schedule/plan"
)

// Step says what happens in a step of a sitting: machine is the name of the
// machine that is switched, empty where there is one alone, title that of the task; again
// where it was begun before.
func Step(step plan.Step, machine, title string, again bool) string {
	if machine == "" && step.Task == "" {
		return onlyMachine(step)
	}
	switch step.What {
	case plan.SwitchOff:
		if step.From < 0 {
			return machine + ": off by now, so that it is cold"
		}
		return machine + ": switch off"
	case plan.SwitchOn:
		if step.From < 0 {
			return machine + ": on by now, so that it is hot"
		}
		return machine + ": switch on"
	case plan.Cooling:
		return fmt.Sprintf("%s: cools down to 40 °C or less, %.0f minutes (by its size, steam let off, in still air; an assumption)", machine, step.Minutes)
	case plan.Heating:
		return fmt.Sprintf("%s: heats up, %.0f minutes (by its size and heater; an assumption)", machine, step.Minutes)
	case plan.Waiting:
		return fmt.Sprintf("%s: %s, %.0f minutes", title, step.Note, step.Minutes)
	}
	if again {
		return title + ": go on"
	}
	return title
}

// onlyMachine says what happens to the only machine of a place.
func onlyMachine(step plan.Step) string {
	switch step.What {
	case plan.SwitchOff:
		if step.From < 0 {
			return "Have the machine off by now, so that it is cold in time"
		}
		return "Switch the machine off"
	case plan.SwitchOn:
		if step.From < 0 {
			return "Have the machine on by now, so that it is hot in time"
		}
		return "Switch the machine on"
	}
	return strings.Replace(Step(step, "The machine", "", false), ":", "", 1)
}

// Round says when a round of the routine is done.
func Round(r plan.Routine) string {
	switch r.EveryDays {
	case 1:
		return fmt.Sprintf("every day, %.0f minutes", r.Minutes)
	case 7:
		return fmt.Sprintf("%ss, %.0f minutes", r.From.In(time.UTC).Weekday(), r.Minutes)
	}
	return fmt.Sprintf("every %d days, %.0f minutes", r.EveryDays, r.Minutes)
}

// CatchUp says how long it takes to catch up, and by what rule.
func CatchUp(up *plan.CatchUp) string {
	return fmt.Sprintf("Catching up with %s takes %.0f minutes and is done on %s, with %.0f minutes a week at the most: first what is for safety, then what harms the machine, then the rest.",
		Count(len(up.Tasks), "task"), up.Minutes, up.End.Long(), up.PerWeek)
}
