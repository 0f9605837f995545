package day

import (
	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// Procedure is how a task is done: what can hurt and how to make safe first.
// Licensed work has no steps, only what to ask for and how to check it.
type Procedure struct {
	Cautions []string `json:"cautions"`
	MakeSafe []string `json:"make_safe"` // in this order

	Task      string   `json:"task"`
	Equipment string   `json:"equipment"`
	Name      string   `json:"equipment_name"`
	Title     string   `json:"title"`
	Who       care.Who `json:"who"`
	Minutes   float64  `json:"minutes"`
	Needs     []string `json:"needs"` // state the work starts from
	Parts     []string `json:"parts"` // and consumables, which a turn uses up
	Tools     []string `json:"tools"` // and what else to have there
	Refuse    string   `json:"refuse,omitempty"`
	Steps     []string `json:"steps"` // always empty for licensed work
	AskFor    []string `json:"ask_for,omitempty"`
	Check     []string `json:"check,omitempty"`
	Good      string   `json:"good"`
	NoteDown  []string `json:"note_down,omitempty"`
	Otherwise []string `json:"otherwise,omitempty"`
	WriteDown string   `json:"write_down"` // how it is written down, as the door spells it
	Rests     string   `json:"rests,omitempty"`
}

// Steps gives the procedure of a task. The name may be as much of its id as no
// other task shares.
func (d *Day) Steps(task string) (Procedure, error) {
	duty, err := d.Duty(task)
	if err != nil {
		return Procedure{}, err
	}
	t := duty.Task
	p := Procedure{
		Cautions: d.Catalogue().Cautions(t), MakeSafe: t.MakeSafe,
		Task: duty.ID, Equipment: duty.Equipment.ID, Name: duty.Equipment.Title(), Title: duty.Title,
		Who: t.Who, Minutes: t.Minutes, Needs: list(t.Needs), Parts: list(t.Parts), Tools: list(t.Tools), Refuse: t.Refuse,
		AskFor: t.AskFor, Check: t.Check, Good: t.Good, NoteDown: t.NoteDown, Otherwise: t.Otherwise,
		Steps: []string{}, WriteDown: d.Spell(ToDo(duty)), Rests: d.rests(duty),
	}
	if !t.Who.Booked() {
		p.Steps = list(t.Steps)
	}
	return p, nil
}

// ToDo returns how a duty is written down as done: by a reading, by the values of
// a water test, or as a service.
func ToDo(d care.Duty) schedule.Action {
	switch {
	case d.Task.Records != "":
		return schedule.Action{Verb: schedule.Measure, Kind: record.MeasurementKind(d.Task.Records)}
	case d.Task.TestsWater():
		return schedule.Action{Verb: schedule.AddWaterTest, After: d.Part}
	}
	return schedule.Action{Verb: schedule.Done, Task: d.ID}
}

// list is a list that JSON shows as one even where it is empty.
func list(lines []string) []string {
	if lines == nil {
		return []string{}
	}
	return lines
}
