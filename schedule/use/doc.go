// Package use turns what was written down about drinks into days: shots,
// kilograms ground, litres through the brew side and into the steam boiler,
// hours hot. Where nothing was written down, and for the days to come, it says
// what is to be expected and how uncertain that is.
//
// Of a day that several records speak of, just one kind counts, so that nothing
// is counted twice. In the order of trust:
//
//  1. the rows that logs have of the day; a row that two files share counts once
//  2. what was entered by hand; of an entry over several days, the days that a
//     log has rows of take their part, and the rest is left for the others
//  3. a period away: nothing was drawn
//  4. the silence of a log or an entry that speaks of days before and after it:
//     nothing was drawn
//  5. the habit then in force, and guests on top of it
//
// A period away that was written down says nothing of the days outside it.
//
// Bags of coffee and readings of the water meter say what some days came to
// together. They are not added to anything: they correct the sums of the days
// between them, those by habit the most, and what they cannot explain within
// reason is left over and shown.
package use
