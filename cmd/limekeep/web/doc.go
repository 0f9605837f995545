// Package web is the door for a browser and for calendar programs: pages that
// show what is due and why, forms to write a service or a water test down, the
// due list as JSON and the subscription address of the calendar.
//
// The pages work without script and ask nothing of other hosts. They show the
// answers of the desk as they are; nothing is worked out here.
package web
