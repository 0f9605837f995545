// Package record holds what people write down about an espresso machine, its
// grinder and its water: the place and its equipment, water tests, use,
// services and what they found, and each plan that was published.
//
// Everything here is a fact somebody stated on a day. Nothing is worked out.
// A fact is never changed: a correction is a new record that voids the old.
package record
