// Package use turns what was written down about drinks into days: shots,
// kilograms ground, litres through the brew side and into the steam boiler,
// hours hot. Where nothing was written down, and for the days to come, it says
// what is to be expected and how uncertain that is.
package use
