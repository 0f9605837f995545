package day

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
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
	Parts     []string `json:"parts"`
	Refuse    string   `json:"refuse,omitempty"`
	Steps     []string `json:"steps"` // always empty for licensed work
	AskFor    []string `json:"ask_for,omitempty"`
	Check     []string `json:"check,omitempty"`
	Good      string   `json:"good"`
	NoteDown  []string `json:"note_down,omitempty"`
	Otherwise []string `json:"otherwise,omitempty"`
	WriteDown string   `json:"write_down"` // the command that records it
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
		Who: t.Who, Minutes: t.Minutes, Needs: list(t.Needs), Parts: list(t.Parts), Refuse: t.Refuse,
		AskFor: t.AskFor, Check: t.Check, Good: t.Good, NoteDown: t.NoteDown, Otherwise: t.Otherwise,
		Steps: []string{}, WriteDown: WriteDown(duty), Rests: rests(duty, d.Book, d.Today),
	}
	if !t.Who.Booked() {
		p.Steps = list(t.Steps)
	}
	return p, nil
}

// writeDown is the command that records a duty as done.
func WriteDown(d care.Duty) string {
	switch {
	case d.Task.Records != "":
		return "limekeep measure " + say.KindWord(record.MeasurementKind(d.Task.Records))
	case d.Task.ID == WaterTestTask:
		return "limekeep water add"
	}
	return "limekeep done " + d.ID
}

// list is a list that JSON shows as one even where it is empty.
func list(lines []string) []string {
	if lines == nil {
		return []string{}
	}
	return lines
}
