package day

import (
	"slices"

	"limekeep/schedule/plan"
)

// SittingSafety is what can hurt in a sitting, each caution once, and how to make
// safe, once for all tasks that ask for the same.
type SittingSafety struct {
	Cautions []string        `json:"cautions"`
	MakeSafe []SafetyRoutine `json:"make_safe"` // in the order in which their tasks come
}

// SafetyRoutine is one way of making safe, and the tasks that it goes before.
type SafetyRoutine struct {
	Tasks []string     `json:"tasks"`          // their titles
	IDs   []string     `json:"task_ids"`       // and their ids
	Steps []string     `json:"steps"`          // in this order, for all of them
	Then  []TaskSafety `json:"then,omitempty"` // what single tasks ask for besides, after that
}

// TaskSafety is what one task asks for on top of what it shares with others.
type TaskSafety struct {
	Task  string   `json:"task"` // its title
	Steps []string `json:"steps"`

	id string
}

// sharedSteps is how many steps ways of making safe must begin with alike to be
// told as one.
const sharedSteps = 3

// safetyOf gathers cautions and ways of making safe of tasks done together.
func (f *Forecast) safetyOf(turns []plan.Turn) SittingSafety {
	safety := SittingSafety{Cautions: []string{}, MakeSafe: []SafetyRoutine{}}
	var each []TaskSafety
	for _, turn := range turns {
		x, err := f.Outcome(turn.Task)
		if err != nil {
			continue // cannot be: the plan was made from the outcomes
		}
		safety.Cautions = Merge(safety.Cautions, f.Day.Catalogue().Cautions(x.Duty.Task))
		if len(x.Duty.Task.MakeSafe) > 0 {
			each = append(each, TaskSafety{Task: x.Duty.Title, Steps: x.Duty.Task.MakeSafe, id: x.Duty.ID})
		}
	}
	for len(each) > 0 {
		var routine SafetyRoutine
		routine, each = together(each)
		safety.MakeSafe = append(safety.MakeSafe, routine)
	}
	return safety
}

// together tells the first task's way of making safe as one with those that begin
// alike, and returns the tasks that are left.
func together(each []TaskSafety) (routine SafetyRoutine, left []TaskSafety) {
	routine.Steps = each[0].Steps
	var alike []TaskSafety
	for _, t := range each {
		switch n := commonPrefix(routine.Steps, t.Steps); {
		case n == len(routine.Steps) && n == len(t.Steps), n >= sharedSteps:
			routine.Steps = routine.Steps[:n]
			alike = append(alike, t)
		default:
			left = append(left, t)
		}
	}
	for _, t := range alike {
		routine.Tasks, routine.IDs = Merge(routine.Tasks, []string{t.Task}), append(routine.IDs, t.id)
		more := TaskSafety{Task: t.Task, Steps: t.Steps[len(routine.Steps):]}
		if len(more.Steps) > 0 && !slices.ContainsFunc(routine.Then, func(known TaskSafety) bool { return known.Task == more.Task }) {
			routine.Then = append(routine.Then, more)
		}
	}
	return routine, left
}

// commonPrefix counts the steps that two lists begin with alike.
func commonPrefix(a, b []string) int {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}
