// Package round plans where somebody who looks after many places goes, on which day and
// in which order, and what is done there.
//
// A round is a number of days of one person, who sets out from one point and returns to
// it. Each place is visited once in a round or not at all. What is weighed, in minutes:
// the harm of lateness and the life thrown away by the prices of package plan, the
// minutes on the road, those that a visit takes beside its work, and for a place that
// has work and is left out, the road that it will take another time.
//
// How it is found: for each day and each set of places that a day can hold, the cheapest
// way is worked out by going from set to set and keeping, of the ways through the same
// places to the same last one, those that no other beats in both time and cost (Held and
// Karp's recursion with labels; common in routing with time windows). Sets are then laid
// on days by going through all their partitions. Where there is too much of anything the
// dearest is left out, and what comes of it is improved by moving and exchanging visits
// until nothing helps; beyond mostExact places that is all that is done.
package round
