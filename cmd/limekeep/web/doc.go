// Package web answers browsers and calendar programs: pages that show what is
// due and why, forms to write a service or a water test down, the due list as
// JSON, and the calendar: the addresses to subscribe to, with codes for a camera,
// and the passwords that let task apps in.
//
// The pages work without script and ask nothing of other hosts. They show the
// answers of an opened day as they are; nothing is worked out here.
package web
