// Package recur tells when something that recurs happens, by RFC 5545: rules
// (RRULE, 3.3.10 and 3.8.5.3), dates added (RDATE) and dates left out (EXDATE, and
// the RECURRENCE-ID of an occurrence that was changed).
//
// Rules come from other people's calendars, and some of them would keep a program
// busy for ever: each 30 February, every 24 hours at an hour that is never met, a
// thousand million times. So whatever a rule says, its expansion is bounded: it is
// asked about a Window, it counts each of its steps against a Budget, and it ends
// when its context does. Without COUNT it begins at the window, however long ago
// the first occurrence was.
//
// A Rule is the text read (rule.go, parse.go). A Set is a rule with its first
// occurrence and its single dates (set.go). Rules are followed on the clock of the
// first occurrence's zone: interval.go knows the intervals that a rule goes
// through, days.go which of their days it means, clock.go what a time on the
// clock is where clocks change.
package recur
