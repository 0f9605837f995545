// Package score holds what was forecast against what came.
//
// What can honestly be scored is what was found, not when somebody came round to
// the work: a service done early, since a sitting suited, is no miss. So the day of
// a service says nothing here. Four things do, each against the forecast of the
// last publication that was made before it was known:
//
//   - what a service found of a part (fresh, worn, failed), against the shares of
//     the worlds in which it would have been found so on that day;
//   - what a service found of scale: what the eye saw (bare, film, crust, flakes),
//     or the grams that came off;
//   - what a condition check read, against where its line was expected;
//   - what a test of the water before any treatment said of its hardness and
//     alkalinity, against what the test before it and the drift since let expect.
//
// A window of dates holds where what was found on a day is what a world inside the
// window would have shown on that day. The crossing itself nobody sees: a part that
// failed crossed some time before, one that is fresh will cross some time later.
// That is an observation between bounds, and it is scored as one: a finding is not
// a point of the forecast's distribution but the stretch of it that gives that
// finding (Czado, Gneiting and Held 2009, Biometrics 65). Eight tenths of such
// stretches lie in the middle eight tenths of the distribution if the forecast is
// right, so that shares inside, sooner and later are counted as shares of a case.
//
// Not scored are services at which nothing was written down of what was found, work
// that goes with a time away, tests of water behind a treatment, and whatever was found
// before the first publication that kept what it expected.
package score
