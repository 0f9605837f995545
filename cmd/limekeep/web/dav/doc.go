// Package dav lets task apps read and tick off to-dos by CalDAV (RFC 4791), with
// discovery (RFC 6764, 5397) and collection synchronisation (RFC 6578).
//
// Storing and deleting go through the library go-webdav. Its server does not
// give sync tokens and reports of changes, loses the negation in text matches
// and matches no to-do by time, so PROPFIND and REPORT are answered here, shaped
// as they could be in the library.
//
// A request goes from Handler (server.go) to one file per method; a file per
// report hangs below report.go. What is asked for is read by xmltree.go and
// ask.go, what is answered is put together by multistatus.go from a shelf
// (shelf.go), where every property of a snapshot lies written out.
package dav
