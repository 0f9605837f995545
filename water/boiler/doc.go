// Package boiler is the chapter on the steam boiler: salts stay, CO2 leaves
// with the steam, and what cannot stay dissolved falls out.
//
// Steady is the state that a boiler settles in; Step takes one through a day of
// feed, hot water, steam and drain; a Column holds the same as a table, for years
// of days; Limits is what a boiler's water may hold (American Boiler
// Manufacturers Association, from memory). WarmUp is how long heating takes.
//
// The chemistry is package equilibrium's. The tests hold the steady state to
// USGS PHREEQC 3.8.9 on 36 waters at two temperatures, the days to the steady
// state and to conservation of all that goes in, and the table to both.
package boiler
