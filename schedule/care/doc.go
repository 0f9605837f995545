// Package care is the care catalogue: which parts of an espresso machine, its
// grinder and its water line wear, what drives the wear, how far it may go,
// what can hurt while it is put right and how that is done.
//
// All of it stands in one data file, catalogue.yaml, which a trade person can
// read and correct. The code only reads the file strictly, binds its tasks to
// the equipment of a place, and puts in what the owner changes.
package care
