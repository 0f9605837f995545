// Package schedule holds what the rooms below it share: the contract that whoever
// keeps the records fulfils, and the words that go from room to room. A day is
// opened in room day and asked there, or in advice, what it says; journal writes;
// agenda is what goes out; say makes sentences. Commands and pages call these
// rooms and show their answers; they work nothing out themselves.
package schedule
