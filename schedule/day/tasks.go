package day

import (
	"limekeep/schedule/care"
)

// TaskInfo is what the catalogue says of one task of a place.
type TaskInfo struct {
	Task      string      `json:"task"`
	Equipment string      `json:"equipment"`
	Title     string      `json:"title"`
	Who       care.Who    `json:"who"`
	Minutes   float64     `json:"minutes"`
	Needs     []string    `json:"needs"`
	Parts     []string    `json:"parts"` // and consumables, which a turn uses up
	Tools     []string    `json:"tools"` // and what else to have there
	Gauges    []GaugeInfo `json:"gauges"`
	Cautions  []string    `json:"cautions"`
	MakeSafe  []string    `json:"make_safe"`
	Steps     []string    `json:"steps"`
	Refuse    string      `json:"refuse,omitempty"`
	Good      string      `json:"good"`
	Findings  []string    `json:"findings,omitempty"`
	NoteDown  []string    `json:"note_down,omitempty"` // what each finding looks like here
	Otherwise []string    `json:"otherwise,omitempty"` // what to do if something else is found
	AskFor    []string    `json:"ask_for,omitempty"`   // of licensed work, which has no steps
	Check     []string    `json:"check,omitempty"`
	Records   string      `json:"records,omitempty"` // the command whose reading is this task done
	Early     float64     `json:"early_is_waste"`    // share of its life thrown away from which doing it early is waste
	Late      float64     `json:"late_is_harm"`      // share of its life beyond the limit from which lateness does harm
	Harm      string      `json:"harm"`              // what lateness does
	Own       bool        `json:"own,omitempty"`
	Off       bool        `json:"off,omitempty"` // switched off in the place file
	Note      string      `json:"note,omitempty"`
}

// GaugeInfo is a gauge with its limits.
type GaugeInfo struct {
	Name    string      `json:"name"`
	Driver  care.Driver `json:"driver"`
	Unit    string      `json:"unit"`
	Low     float64     `json:"low"`
	Usual   float64     `json:"usual"`
	High    float64     `json:"high"`
	Source  string      `json:"source"`
	Instead string      `json:"instead,omitempty"` // whose figure stands instead of the catalogue's
}

// Tasks lists what the catalogue knows for a place's equipment.
func (d *Day) Tasks() []TaskInfo {
	all := []TaskInfo{}
	for _, duty := range d.Duties {
		all = append(all, d.taskInfo(duty))
	}
	return all
}

func (d *Day) taskInfo(duty care.Duty) TaskInfo {
	t := duty.Task
	info := TaskInfo{
		Task: duty.ID, Equipment: duty.Equipment.ID, Title: duty.Title, Who: t.Who, Minutes: t.Minutes,
		Needs: t.Needs, Parts: list(t.Parts), Tools: list(t.Tools), Cautions: d.Catalogue().Cautions(t), MakeSafe: t.MakeSafe,
		Steps: t.Steps, Refuse: t.Refuse, Good: t.Good, Findings: FindingsOf(t),
		NoteDown: t.NoteDown, Otherwise: t.Otherwise, AskFor: t.AskFor, Check: t.Check,
		Early: t.Tolerance.Early, Late: t.Tolerance.Late, Harm: t.Tolerance.Harm, Own: duty.Own, Off: duty.Off, Note: duty.Note,
	}
	if t.Records != "" {
		info.Records = d.Spell(ToDo(duty))
	}
	for _, g := range duty.Gauges {
		info.Gauges = append(info.Gauges, GaugeInfo{
			Name: g.Name, Driver: g.Driver, Unit: g.Unit,
			Low: g.Limit.Low, Usual: g.Limit.Usual, High: g.Limit.High, Source: g.Limit.Source, Instead: g.Instead,
		})
	}
	return info
}
