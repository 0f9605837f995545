// Package wear works out how worn everything is and when it will have had
// enough: gauges over worlds, corrected by what services found.
//
// A gauge runs from 0, fresh from its last service, to 1, its limit, and
// beyond. A world is one draw of all that is unknown: the water behind a test
// of few numbers and its drift since, how much scale sticks, where a limit
// truly lies, use that nobody wrote down and use to come. A window is the 10,
// 50 and 90 % points of the crossings over all worlds.
//
// A world is made of independent blocks, each with uniform numbers keyed by
// what they are for, never by the order of drawing. A finding moves the
// distribution of its own block; the uniforms stay.
package wear
