// Package plan puts care into a place's months to come, in three kinds. Small
// tasks that come again within days, and that nobody's safety hangs on, are rounds
// of a routine, with a day of their own. What a workshop or licensed people do is
// an appointment: one visit for each piece of equipment, with a day to call by.
// Everything else is put into sittings, hours that the owner would rather spend on
// it, so that what falls due about the same time is done together.
//
// The promise: whatever is likely due within the plan, or past, has a place in it,
// or stands under what cannot be met, with the reason and a way out. It rests on
// four things. A turn without a place costs more than any place would, so that
// nothing is put off beyond the end because that is cheaper. What no slot could
// hold in time may stand alone in one that is too short, and is marked as longer
// than usual. What is lighter and shorter leaves a slot for what would have no
// place or be late: small things give way to big ones. And what is then still
// without a place, or late, is listed. What is past when the plan is made comes
// first for safety, then for harm, and the sooner the more certain it is.
//
// Time is elapsed time: a sitting lasts as long as its timetable, with heating,
// cooling and waits, and other work laid into them.
package plan
