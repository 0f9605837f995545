// Package agenda is what goes out to calendars and task apps: an entry for each
// task that is planned, for the daily routine and for what has to be ordered, and
// what was done. A Publisher keeps each plan that went out, so that the next one
// holds to it and the sequence of an entry counts its changes.
package agenda
