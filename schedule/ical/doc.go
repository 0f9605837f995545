// Package ical turns an agenda into an iCalendar object (RFC 5545, with the
// calendar properties of RFC 7986).
package ical
