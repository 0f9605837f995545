package agenda

// RoundDay is roundDay, for tests.
var RoundDay = roundDay
