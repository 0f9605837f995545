package schedule

import (
	"context"

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
	Parts     []string    `json:"parts"`
	Gauges    []GaugeInfo `json:"gauges"`
	Cautions  []string    `json:"cautions"`
	MakeSafe  []string    `json:"make_safe"`
	Steps     []string    `json:"steps"`
	Refuse    string      `json:"refuse,omitempty"`
	Good      string      `json:"good"`
	Findings  []string    `json:"findings,omitempty"`
}

// GaugeInfo is a gauge with its limits.
type GaugeInfo struct {
	Name   string      `json:"name"`
	Driver care.Driver `json:"driver"`
	Unit   string      `json:"unit"`
	Low    float64     `json:"low"`
	Usual  float64     `json:"usual"`
	High   float64     `json:"high"`
	Source string      `json:"source"`
}

// Tasks lists what the catalogue knows for a place's equipment.
func (d *Desk) Tasks(ctx context.Context, m Moment) ([]TaskInfo, error) {
	book, _, _, err := d.open(ctx, m)
	if err != nil {
		return nil, err
	}
	all := []TaskInfo{}
	for _, duty := range d.Catalogue.Duties(book.Equipment()) {
		all = append(all, d.taskInfo(duty))
	}
	return all, nil
}

func (d *Desk) taskInfo(duty care.Duty) TaskInfo {
	t := duty.Task
	info := TaskInfo{
		Task: duty.ID, Equipment: duty.Equipment.ID, Title: duty.Title, Who: t.Who, Minutes: t.Minutes,
		Needs: t.Needs, Parts: t.Parts, Cautions: d.Catalogue.Cautions(t), MakeSafe: t.MakeSafe,
		Steps: t.Steps, Refuse: t.Refuse, Good: t.Good, Findings: findingsOf(t),
	}
	for _, g := range duty.Gauges {
		info.Gauges = append(info.Gauges, GaugeInfo{
			Name: g.Name, Driver: g.Driver, Unit: g.Unit,
			Low: g.Limit.Low, Usual: g.Limit.Usual, High: g.Limit.High, Source: g.Limit.Source,
		})
	}
	return info
}
