package round

import (
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Request is what a round is asked for.
type Request struct {
	Days   []Day // on which the person works, in order
	Places []Place

	// Travel holds minutes on the road from one point to another: 0 is where each day
	// begins and ends, 1 the first of the places.
	Travel [][]float64

	Stop float64 // minutes that a visit takes beside its work: parking, greeting, carrying

	known   map[[2]int][]option // by place and day
	thinned bool                // whether anything was left out of what was gone through
}

// Day is a day of the person's work.
type Day struct {
	On       record.Date
	From, To float64 // minutes after midnight: setting out at the earliest, being back at the latest
	Only     bool    // nothing but what is fixed on it: the person does not work that day otherwise
}

// Place is somewhere to go.
type Place struct {
	ID   string
	Jobs []Job

	Open  [][]Span // by day of the round: when somebody is let in
	Quiet [][]Span // by day: when a machine may be cold; nil for whenever it is open

	// Lay returns what doing some of the jobs takes, by their places in Jobs, in order.
	Lay func(jobs []int) Work

	Again float64 // minutes on the road that leaving it out costs another time

	Fixed *Fixed // nil where it may be visited whenever it lets somebody in

	of int // which of the outlooks it was made from
}

// Fixed is a visit that was booked: on its day, at its time and with all jobs of the place.
type Fixed struct {
	Day     int     // of the round
	Start   float64 // minutes after midnight
	Minutes float64 // from arriving to leaving
	Visit   day.BookedInfo
}

// Job is a task that could be done at a visit.
type Job struct {
	Task string
	Cost []float64 // by day of the round: harm, waste and the like if it is done then, in minutes
	Left float64   // if it is left for the next round
}

// Work is what doing some jobs takes.
type Work struct {
	Minutes          float64
	ColdFrom, ColdTo float64 // in minutes from its beginning: while a machine is cold; equal where none is
}

// Span is a stretch of a day, in minutes after midnight.
type Span struct{ From, To float64 }

// Plan is a round.
type Plan struct {
	Visits []Visit // in order of time
	Cost   float64 // of all that is weighed, in minutes
	Road   float64 // minutes on the road
	Late   float64 // of the cost, for jobs: harm, waste and what is left
	Proven bool    // whether no other round is cheaper, of those that were gone through
}

// Visit is a place on a day.
type Visit struct {
	Day   int     // of the round
	Place int     // of the request
	Jobs  []int   // done there, of the place's
	Start float64 // minutes after midnight: being there
	Work  float64 // when the work begins
	End   float64 // leaving
	Road  float64 // minutes on the road before it
}
