// Package packing makes answers smaller on their way: pages and figures packed with gzip
// for whoever takes that, files that are packed once, and pages that are packed already
// and yet carry fresh tokens in their forms.
package packing
