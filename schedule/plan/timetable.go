package plan

import "time"

// Timetable is what happens in a sitting, in the order in which it begins. Hands
// are at one step at a time; waits run beside them.
type Timetable []Step

// Step is a stretch of a sitting.
type Step struct {
	From    float64 // minutes after the sitting begins; below zero for what must have been done before
	Minutes float64 // that it lasts
	What    StepKind
	Task    string // whose work or wait it is; empty for a machine's
	Of      string // id of the machine that is switched, heats or cools; empty for a task's
	Note    string // what is waited for, in a word or two; empty where What says it
}

// StepKind is what a step of a timetable is.
type StepKind string

// Kinds of steps. Working and switching take hands; the others take none.
const (
	Working   StepKind = "work"
	Waiting   StepKind = "wait" // soaking, acid standing, filling
	SwitchOff StepKind = "switch off"
	SwitchOn  StepKind = "switch on"
	Cooling   StepKind = "cooling" // until what is touched is 40 °C or less
	Heating   StepKind = "heating"
)

// Elapsed gives the minutes from the beginning of the sitting to the end of its
// last step.
func (t Timetable) Elapsed() float64 {
	end := 0.0
	for _, s := range t {
		end = max(end, s.From+s.Minutes)
	}
	return end
}

// Begins gives the instant at which a task's work begins.
func (s Sitting) Begins(task string) time.Time {
	for _, step := range s.Timetable {
		if step.Task == task && step.What == Working {
			return s.At(step)
		}
	}
	return s.Start
}

// At gives the instant at which a step of a sitting begins.
func (s Sitting) At(step Step) time.Time {
	return s.Start.Add(time.Duration(step.From * float64(time.Minute)))
}
