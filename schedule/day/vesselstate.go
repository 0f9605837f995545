package day

import (
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// VesselReport is what is known of a vessel: its scale, its water, what the scale
// costs.
type VesselReport struct {
	Machine   string            `json:"machine"` // id
	Name      string            `json:"machine_name"`
	State     VesselState       `json:"state"`
	Scale     *wear.VesselScale `json:"scale"`     // null where its scale is not followed
	Descale   string            `json:"descale"`   // task that takes it off; empty for none
	Courses   []GaugeCourse     `json:"courses"`   // of its scale
	Dissolved []GaugeCourse     `json:"dissolved"` // of a steam boiler: what gathers in its water
	Cost      *ScaleCost        `json:"cost"`      // null where no element lies in the water
}

// ScaleCost is what scale costs in electricity. An immersed element's heat all
// reaches the water, scale or not. What scale adds is the heat that the hotter
// element and the scale on it take up at each warm-up, and lose to the room when the
// machine is let go cold:
//
//	kWh a year = warm-ups a year × (extra seconds × watts) / 3.6 MJ
//
// The extra seconds are wear.VesselScale.WarmUpSeconds. One warm-up on each day on
// which the machine is hot for less than the whole day is an assumption.
type ScaleCost struct {
	WarmUpsAYear float64            `json:"warm_ups_a_year"`
	KJEach       figure.Percentiles `json:"kj_each_warm_up"`
	KWhAYear     figure.Percentiles `json:"kwh_a_year"`
	Money        string             `json:"money_a_year,omitempty"` // the likely kilowatt-hours at the owner's price; empty where none is known
}

// kJPerKWh is what a kilowatt-hour is in kilojoules.
const kJPerKWh = 3600

// Vessel returns what is known of a vessel of a machine.
func (q Parts) Vessel(machine, vessel string) (VesselReport, error) {
	parts, err := q.Machine(machine)
	if err != nil {
		return VesselReport{}, err
	}
	i := slices.IndexFunc(parts.Vessels, func(v VesselState) bool { return v.Part == vessel })
	if i < 0 {
		return VesselReport{}, &record.UnknownError{What: "vessel", Name: vessel}
	}
	r := VesselReport{Machine: parts.Equipment, Name: parts.Name, State: parts.Vessels[i]}
	for _, x := range q.f.outcomes {
		if x.Duty.Equipment.ID != machine || x.Duty.Part != vessel {
			continue
		}
		switch {
		case x.Scale != nil:
			r.Scale, r.Descale = x.Scale, x.Duty.ID
			if r.Courses, err = q.f.Courses(x.Duty.ID); err != nil {
				return VesselReport{}, err
			}
		case x.Duty.Has(care.Dissolved):
			if r.Dissolved, err = q.f.Courses(x.Duty.ID); err != nil {
				return VesselReport{}, err
			}
			r.Dissolved = slices.DeleteFunc(r.Dissolved, func(c GaugeCourse) bool { return c.Driver.Kind() != care.Dissolved })
		}
	}
	if r.Scale != nil && (r.State.Kind == record.BrewBoiler || r.State.Kind == record.SteamBoiler) {
		r.Cost = q.scaleCost(machine, r.Scale)
	}
	return r, nil
}

func (q Parts) scaleCost(machine string, s *wear.VesselScale) *ScaleCost {
	course, ok := q.f.courses[machine]
	if !ok {
		return nil
	}
	c := &ScaleCost{}
	for i := range record.Date(365) {
		if hours := course.On(q.f.Day.Today + 1 + i).HotHours; hours > 0 && hours < 24 {
			c.WarmUpsAYear++
		}
	}
	per := func(seconds float64) float64 { return seconds * s.Watts / 1000 }
	c.KJEach = figure.Percentiles{Low: per(s.WarmUpSeconds.Low), Likely: per(s.WarmUpSeconds.Likely), High: per(s.WarmUpSeconds.High)}
	a := c.WarmUpsAYear / kJPerKWh
	c.KWhAYear = figure.Percentiles{Low: a * c.KJEach.Low, Likely: a * c.KJEach.Likely, High: a * c.KJEach.High}
	if costs := q.f.Day.Place.Costs(); costs.KilowattHour > 0 {
		c.Money = costs.Money(costs.KilowattHour * c.KWhAYear.Likely)
	}
	return c
}
