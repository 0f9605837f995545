// Package say puts numbers into plain sentences: why a task falls due then, what
// condition checks show, why a turn stands in its sitting, what the owner changed
// of the catalogue, what a record says. It works nothing out and knows no place: a
// sentence follows from what it is given.
package say
