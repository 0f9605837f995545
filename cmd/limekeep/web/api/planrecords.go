package api

import (
	"context"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// ReadingGiven is a condition check: which figures count depends on the task.
type ReadingGiven struct {
	Task        string      `json:"task" doc:"Id of the task that the reading does" example:"machine/flow-test/group"`
	Part        string      `json:"part,omitempty" doc:"Id of the group, where the machine has several"`
	On          record.Date `json:"on,omitempty" format:"date" doc:"Today where left out"`
	Grams       float64     `json:"grams,omitempty" doc:"Flow test: water caught"`
	Seconds     float64     `json:"seconds,omitempty" doc:"Flow test: in this time. Shot time: how long the shot took"`
	Minutes     float64     `json:"minutes,omitempty" doc:"Warm-up: until the heating first stopped"`
	FromCelsius float64     `json:"from_celsius,omitempty" doc:"Warm-up: temperature it started from"`
	Setting     float64     `json:"setting,omitempty" doc:"Shot time: of the grinder, in clicks"`
	DoseGrams   float64     `json:"dose_grams,omitempty" doc:"Shot time"`
	YieldGrams  float64     `json:"yield_grams,omitempty" doc:"Shot time"`
	Celsius     float64     `json:"celsius,omitempty" doc:"Brew temperature"`
	Bar         float64     `json:"bar,omitempty" doc:"Pump pressure"`
	ShownGrams  float64     `json:"shown_grams,omitempty" doc:"Reference mass: what the scale shows"`
	MassGrams   float64     `json:"mass_grams,omitempty" doc:"Reference mass: what it weighs"`
	Note        string      `json:"note,omitempty"`
}

// MoveGiven moves the next turn of a task.
type MoveGiven struct {
	Task string      `json:"task" doc:"Id of the task, or as much of it as no other shares"`
	Move string      `json:"move" enum:"to,next,skip,fix,free" doc:"to a day; to the next slot; not in this slot; fixed where it is; wherever the plan puts it"`
	To   record.Date `json:"to,omitempty" format:"date" doc:"With the move “to”"`
}

// BlockedGiven keeps days free of sittings.
type BlockedGiven struct {
	From record.Date `json:"from" format:"date"`
	To   record.Date `json:"to,omitempty" format:"date" doc:"The last day; the first where left out"`
	Note string      `json:"note,omitempty"`
}

// StockGiven says one thing of an item in the cupboard.
type StockGiven struct {
	Item     string   `json:"item" doc:"As the list of stock names it, or as much of that as no other shares"`
	Count    *float64 `json:"count,omitempty" minimum:"0" doc:"So many are there"`
	Came     float64  `json:"came,omitempty" minimum:"0" doc:"So many came"`
	LeadDays *float64 `json:"lead_days,omitempty" minimum:"0" doc:"So many days an order takes"`
}

// AwayGiven is a time in which nothing is drawn.
type AwayGiven struct {
	Machine string      `json:"machine,omitempty" doc:"The one that is switched off; all of the place where left out"`
	From    record.Date `json:"from" format:"date"`
	To      record.Date `json:"to,omitempty" format:"date" doc:"The last day; until further notice where left out"`
	Frost   bool        `json:"frost,omitempty" doc:"It may freeze where the machine stands"`
	Note    string      `json:"note,omitempty"`
}

// AwayEnded gives a time away its last day.
type AwayEnded struct {
	Record int64       `json:"record,omitempty" doc:"Of the time away; may be left out where just one is open"`
	Last   record.Date `json:"last,omitempty" format:"date" doc:"Today where left out"`
}

// GuestsGiven are shots on top of the habit.
type GuestsGiven struct {
	Machine string      `json:"machine,omitempty" doc:"All of the place where left out"`
	From    record.Date `json:"from" format:"date"`
	To      record.Date `json:"to,omitempty" format:"date" doc:"The last day; the first where left out"`
	Shots   float64     `json:"shots" minimum:"0" doc:"A day"`
	Note    string      `json:"note,omitempty"`
}

// LimitGiven puts another figure in place of a limit of the catalogue.
type LimitGiven struct {
	Task   string  `json:"task" doc:"Id of the task, or as much of it as no other shares"`
	Gauge  string  `json:"gauge,omitempty" doc:"Its name; may be left out where the task has one"`
	Low    float64 `json:"low,omitempty" doc:"One in ten has reached its limit; in proportion to the usual one where left out"`
	Usual  float64 `json:"usual,omitempty" doc:"Half have, in the gauge’s unit; with no figure at all the catalogue’s stands again"`
	High   float64 `json:"high,omitempty" doc:"Nine in ten have"`
	Months float64 `json:"months,omitempty" doc:"An interval in place of all limits"`
	By     string  `json:"by,omitempty" enum:"owner,maker" doc:"Whose figure it is; the owner’s where left out"`
	Note   string  `json:"note,omitempty"`
}

// planRecords are about checks, moves, days, stock and limits.
func (s *Server) planRecords(api huma.API) {
	take(s, api, "add-measurement", "/measurements", "Write down the reading of a condition check", func(ctx context.Context, d *day.Day, in ReadingGiven) (int64, error) {
		written, err := s.Journal.MeasureTask(ctx, d, orToday(d, in.On), in.Task, record.Measurement{
			Part: in.Part, Grams: in.Grams, Seconds: in.Seconds, Minutes: in.Minutes, FromCelsius: in.FromCelsius, Setting: in.Setting,
			DoseGrams: in.DoseGrams, YieldGrams: in.YieldGrams, Celsius: in.Celsius, Bar: in.Bar, ShownGrams: in.ShownGrams, MassGrams: in.MassGrams, Note: in.Note,
		})
		return written.Record, err
	})
	take(s, api, "add-move", "/moves", "Move the next turn of a task; ask /position first what a day would risk", func(ctx context.Context, d *day.Day, in MoveGiven) (int64, error) {
		by, err := s.Foresee(ctx)
		if err != nil {
			return 0, err
		}
		return s.Journal.Pin(ctx, d, by, in.Task, day.Move(in.Move), in.To)
	})
	take(s, api, "add-blocked-days", "/blocked-days", "Keep days free of sittings", func(ctx context.Context, d *day.Day, in BlockedGiven) (int64, error) {
		written, err := s.Journal.Block(ctx, d, record.Blocked{From: in.From, To: in.To, Note: in.Note})
		return written.Record, err
	})
	take(s, api, "add-stock", "/stock", "Write down what is in the cupboard, what came, or how long an order takes", func(ctx context.Context, d *day.Day, in StockGiven) (int64, error) {
		written, err := s.Journal.SetStock(ctx, d, record.Stock{Item: in.Item, Count: in.Count, Came: in.Came, LeadDays: in.LeadDays})
		return written.Record, err
	})
	take(s, api, "add-away", "/aways", "Write down a time away, past or to come", func(ctx context.Context, d *day.Day, in AwayGiven) (int64, error) {
		written, err := s.Journal.AddAway(ctx, d, record.Away{Machine: in.Machine, From: in.From, To: in.To, Frost: in.Frost, Note: in.Note})
		return written.Record, err
	})
	take(s, api, "end-away", "/aways/ends", "Give a time away its last day", func(ctx context.Context, d *day.Day, in AwayEnded) (int64, error) {
		written, err := s.Journal.EndAway(ctx, d, in.Record, in.Last)
		return written.Record, err
	})
	take(s, api, "add-guests", "/guests", "Write down shots on top of the habit", func(ctx context.Context, d *day.Day, in GuestsGiven) (int64, error) {
		written, err := s.Journal.AddGuests(ctx, d, record.Guests{Machine: in.Machine, From: in.From, To: in.To, Shots: in.Shots, Note: in.Note})
		return written.Record, err
	})
	take(s, api, "change-limit", "/limits", "Put another figure in place of a limit of the catalogue, or take that back", func(ctx context.Context, d *day.Day, in LimitGiven) (int64, error) {
		written, err := s.Journal.ChangeLimit(ctx, d, record.CareChange{Task: in.Task, Gauge: in.Gauge, Low: in.Low, Usual: in.Usual, High: in.High, Months: in.Months, By: record.Whose(in.By), Note: in.Note})
		return written.Record, err
	})
}
