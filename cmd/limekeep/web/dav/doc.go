// Package dav lets task apps read and tick off to-dos by CalDAV (RFC 4791), with
// discovery (RFC 6764, 5397) and collection synchronisation (RFC 6578).
//
// Storing and deleting go through the library go-webdav. Its server does not
// give sync tokens and reports of changes, loses the negation in text matches
// and matches no to-do by time, so PROPFIND and REPORT are answered here, shaped
// as they could be in the library.
package dav

import _ "github.com/emersion/go-webdav/caldav" // what stores and deletes
