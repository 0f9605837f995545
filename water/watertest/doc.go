// Package watertest holds what the tests of the chapters share: reference
// tables computed with USGS PHREEQC (testdata/README.md), waters to try things
// on, and comparisons. Nothing but tests imports it.
package watertest
