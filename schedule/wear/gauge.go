package wear

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Gauge is a small state machine driven by days, in one world. A run of days
// may be handed over as their sum: it must come to the same as one by one.
type Gauge interface {
	// Start gives the state that a service, or being new, leaves behind.
	Start(world int, s Service) State
	// Advance gives the state after one more day, or a run of them.
	Advance(s State, e care.Exposure) State
	// Reading is 0 when fresh, 1 at the limit, more when overdue.
	Reading(s State) float64
	// Amount is what has gathered, in the unit of the limit.
	Amount(s State) float64
	// Likelihood tells how well the state explains what a service found, in
	// (0, 1]; 1 where it found nothing that this gauge knows of.
	Likelihood(s State, found record.Service) float64
	// Unknown is what findings teach about, before anything was found.
	Unknown() figure.Percentiles
	// Assume gives the state with the unknown set to a value.
	Assume(s State, value float64) State
}

// Service is how a gauge starts again.
type Service struct {
	Left   float64 // share that the work left in place
	Before State   // the state it met; the zero State for a new part
}

// State is what a gauge knows in one world.
type State struct {
	Amount float64 // of the driver, since fresh
	Factor float64 // how much of it counts
	Limit  float64 // how much is too much
	World  int     // for gauges that look things up by world

	// Of what is measured, where the Amount is read and not summed.
	Wait     float64 // days until the first reading
	Level    float64 // the amount on that day
	Pace     float64 // by which it grows a day from then on
	Measured bool    // that day has come
}

// reading is the part that all gauges share.
func (s State) reading() float64 { return s.Amount * s.Factor / s.Limit }

// restart is the part of Start that all gauges share.
func restart(s Service, factor, limit float64) State {
	return State{Amount: s.Left * s.Before.Amount, Factor: factor, Limit: limit}
}
