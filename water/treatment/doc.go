// Package treatment is the chapter on what stands between the supply and the
// machine: cartridges that exchange ions for sodium or hydrogen, with their
// capacity in equivalents, their breakthrough and their bypass; carbon filters;
// reverse osmosis membranes with what they let through; blends for a target;
// and the tank, where water gives off CO2.
//
// Capacities are the makers', passages of membranes common practice, the curve
// of breakthrough an assumption, each as said beside it. The tests hold all to
// conservation of charge and mass, and to figures worked out by hand.
package treatment
