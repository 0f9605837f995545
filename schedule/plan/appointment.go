package plan

import "limekeep/schedule/record"

// Appointment is work that is booked: one visit of or to those who may or can do
// it, for one piece of equipment. It takes none of the owner's slots.
type Appointment struct {
	Of     string // id of the equipment
	Turns  []Turn // done at the visit
	CallBy record.Date
	On     record.Date // day that the visit is meant for
	By     record.Date // last day that keeps to the late dates of its tasks; On where that is past
}
