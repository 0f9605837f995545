// Package water is a handbook of what water does in an espresso machine, and
// of what keeps it from doing so. This package is its first chapter and holds
// what all others speak in: units, the quantities that are measured and the
// methods they are measured by, a water test with what each of its values says
// (Observation), the analysis that a laboratory reports, the totals in moles
// that a closed vessel conserves whatever its temperature, molar masses, and
// the error that names an impossible number.
//
// # The chapters
//
// Each is a package with its own sources and checks; a chapter may use those
// above it.
//
//	steam         the pressure of steam over boiling water
//	equilibrium   what is dissolved, what is at rest with what, what falls out
//	conductivity  what a water conducts, and what it leaves when dried
//	inference     from a water test of few numbers to full analyses, weighted
//	potential     how much scale a water can lay down, as a table to look up
//	corrosion     what a water does to stainless steel, copper, brass, probes
//	deposit       scale as a layer: its mass, its thickness, what it costs
//	boiler        a steam boiler over days: concentration, deposits, drains
//	treatment     softeners, decarbonisers, membranes, blends, tanks
//	descaling     acids, baths, rinsing, and when not to
//
// figure, beside them, is about numbers as people write and read them, and
// watertest holds the reference tables that the chapters' tests share.
//
// # Conventions
//
// Amounts are per kilogram of water; a litre of water weighs a kilogram.
// Alkalinity is equivalents of base down to the carbonic acid end point,
// H3SiO4- and the hydroxides counted. A charge imbalance of an analysis stays
// as it is; nothing is adjusted to hide it.
//
// # Checks
//
// Units against their definitions, molar masses against the standard atomic
// weights of the IUPAC, spreads of methods against simulated measurements.
package water
