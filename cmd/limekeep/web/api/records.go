package api

import (
	"context"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/water"
)

// ServiceGiven is a task that was done.
type ServiceGiven struct {
	Task    string      `json:"task" doc:"Id of the task, or as much of it as no other shares" example:"machine/descale/steam"`
	On      record.Date `json:"on,omitempty" format:"date" doc:"Today where left out"`
	Finding string      `json:"finding,omitempty" doc:"What was found before it was put right" example:"film"`
	Grams   float64     `json:"grams,omitempty" minimum:"0" doc:"Of scale that came off"`
	Left    float64     `json:"left,omitempty" minimum:"0" maximum:"1" doc:"Share that the work left in place"`
	Note    string      `json:"note,omitempty"`
}

// WaterTestGiven is a water test.
type WaterTestGiven struct {
	Line    string          `json:"line,omitempty" doc:"Id of the water line; may be left out where the place has just one"`
	After   string          `json:"after,omitempty" doc:"Id of the treatment it was sampled behind; left out for the supply itself"`
	On      record.Date     `json:"on,omitempty" format:"date" doc:"Today where left out"`
	Values  []MeasuredGiven `json:"values" minItems:"1"`
	Celsius float64         `json:"celsius,omitempty" doc:"Of the water when its pH was measured; 15 where left out"`
	Note    string          `json:"note,omitempty"`
}

// MeasuredGiven is one value of it.
type MeasuredGiven struct {
	Quantity string  `json:"quantity" example:"hardness"`
	Value    float64 `json:"value"`
	Unit     string  `json:"unit" example:"dH"`
	Method   string  `json:"method" example:"drop" doc:"strip, drop, meter or laboratory"`
	Spread   float64 `json:"spread,omitempty" doc:"Standard deviation in the unit; the method's own where left out"`
}

// UseGiven is what was drawn from a machine on some days.
type UseGiven struct {
	Machine        string      `json:"machine,omitempty" doc:"May be left out where the place has just one"`
	From           record.Date `json:"from,omitempty" format:"date" doc:"Today where left out"`
	To             record.Date `json:"to,omitempty" format:"date" doc:"The first day where left out"`
	Shots          float64     `json:"shots" minimum:"0"`
	Steamed        *float64    `json:"steamed,omitempty" doc:"How many of them got steamed milk; by habit where left out"`
	HotWaterLitres *float64    `json:"hot_water_litres,omitempty" doc:"By habit where left out"`
	Note           string      `json:"note,omitempty"`
}

// MeterGiven is what a water meter, or a flow meter that counts up, shows.
type MeterGiven struct {
	Line   string      `json:"line,omitempty" doc:"May be left out where the place has just one"`
	On     record.Date `json:"on,omitempty" format:"date" doc:"Today where left out"`
	Litres float64     `json:"litres" minimum:"0" doc:"As shown, counted from when the meter was fitted"`
	// RollsOverLitres is for counters of few digits.
	RollsOverLitres float64 `json:"rolls_over_litres,omitempty" doc:"What it holds before it begins again at 0"`
	Note            string  `json:"note,omitempty"`
}

// HotHoursGiven is how long a machine was hot on a day, as a plug that sees its power
// knows.
type HotHoursGiven struct {
	Machine string      `json:"machine,omitempty" doc:"May be left out where the place has just one"`
	On      record.Date `json:"on,omitempty" format:"date" doc:"Today where left out"`
	Hours   float64     `json:"hours" minimum:"0" maximum:"24" doc:"Of that day; sent again, the last counts"`
	Note    string      `json:"note,omitempty"`
}

// BagGiven is a bag of coffee that was finished.
type BagGiven struct {
	Grinder string      `json:"grinder,omitempty" doc:"May be left out where the place has just one"`
	On      record.Date `json:"on,omitempty" format:"date" doc:"The day it was finished; today where left out"`
	Opened  record.Date `json:"opened" format:"date"`
	Grams   float64     `json:"grams" minimum:"0"`
}

// VoidGiven takes a record back.
type VoidGiven struct {
	Record int64  `json:"record"`
	Why    string `json:"why,omitempty"`
}

func (s *Server) records(api huma.API) {
	take(s, api, "add-service", "/services", "Write down that a task was done, and what was found", func(ctx context.Context, d *day.Day, in ServiceGiven) (int64, error) {
		duty, err := d.Duty(in.Task)
		if err != nil {
			return 0, err
		}
		written, err := s.Journal.Done(ctx, d, orToday(d, in.On), record.Service{Task: duty.ID, Finding: record.Finding(in.Finding), Grams: in.Grams, Left: in.Left, Note: in.Note})
		return written.Record, err
	})
	take(s, api, "add-water-test", "/water-tests", "Write down a water test", func(ctx context.Context, d *day.Day, in WaterTestGiven) (int64, error) {
		test, err := in.test()
		if err != nil {
			return 0, err
		}
		written, err := s.Journal.AddWaterTest(ctx, d, orToday(d, in.On), test)
		return written.Record, err
	})
	take(s, api, "add-use", "/use", "Write down what was drawn from a machine", func(ctx context.Context, d *day.Day, in UseGiven) (int64, error) {
		entry := journal.UseEntry{Machine: in.Machine, From: in.From, To: in.To, Note: in.Note, MilkUnsaid: in.Steamed == nil, HotWaterUnsaid: in.HotWaterLitres == nil}
		entry.Sum = record.UseRow{Minute: -1, Shots: in.Shots}
		if in.Steamed != nil {
			entry.Sum.Steamed = *in.Steamed
		}
		if in.HotWaterLitres != nil {
			entry.Sum.HotWaterLitres = *in.HotWaterLitres
		}
		written, err := s.Journal.AddUse(ctx, d, entry)
		return written.Record, err
	})
	take(s, api, "add-meter-reading", "/meter-readings", "Write down what the meter of a water line shows, in litres", func(ctx context.Context, d *day.Day, in MeterGiven) (int64, error) {
		written, err := s.Journal.AddMeterReading(ctx, d, in.On, record.MeterReading{Line: in.Line, Litres: in.Litres, RollsOverLitres: in.RollsOverLitres, Note: in.Note})
		return written.Record, err
	})
	take(s, api, "add-hot-hours", "/hot-hours", "Write down how long a machine was hot on a day", func(ctx context.Context, d *day.Day, in HotHoursGiven) (int64, error) {
		written, err := s.Journal.AddHotHours(ctx, d, in.On, record.HotHours{Machine: in.Machine, Hours: in.Hours, Note: in.Note})
		return written.Record, err
	})
	take(s, api, "add-bag", "/bags", "Write down a bag of coffee that was finished", func(ctx context.Context, d *day.Day, in BagGiven) (int64, error) {
		written, err := s.Journal.AddBag(ctx, d, in.On, record.Bag{Grinder: in.Grinder, Grams: in.Grams, Opened: in.Opened})
		return written.Record, err
	})
	take(s, api, "void", "/voids", "Take a record back", func(ctx context.Context, d *day.Day, in VoidGiven) (int64, error) {
		written, err := s.Journal.Void(ctx, d, in.Record, in.Why)
		return written.Record, err
	})
}

func orToday(d *day.Day, on record.Date) record.Date {
	if on.IsZero() {
		return d.Today
	}
	return on
}

// test reads quantities, units and methods by all the names they go under.
func (g WaterTestGiven) test() (record.WaterTest, error) {
	t := record.WaterTest{Line: g.Line, After: g.After, Note: g.Note, Test: water.Test{Celsius: g.Celsius}}
	for _, v := range g.Values {
		m := water.Measured{Value: v.Value, Spread: v.Spread}
		var err error
		if m.Quantity, err = water.ParseQuantity(v.Quantity); err != nil {
			return t, err
		}
		if m.Unit, err = water.ParseUnit(v.Unit); err != nil {
			return t, err
		}
		if m.Method, err = water.ParseMethod(v.Method); err != nil {
			return t, err
		}
		t.Test.Values = append(t.Test.Values, m)
	}
	return t, nil
}
