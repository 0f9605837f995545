// Package day opens a day of a place and answers what is asked of it. An Opener
// reads the records once and gives a Day: the book, the clock that hangs there, the
// duties. What takes a forecast is asked of its Forecast, worked out once, when it
// is first asked for: when each duty falls due and why, the plan of the sittings,
// what to order, where condition checks lead. So a question costs nothing beyond
// what it is asked of. Nothing is written here.
package day
