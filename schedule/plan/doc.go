// Package plan puts tasks into sittings: hours that the owner would rather
// spend on them, so that what falls due about the same time is done together.
package plan
