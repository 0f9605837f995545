// Package dav lets task apps read and tick off to-dos by CalDAV (RFC 4791), with
// discovery (RFC 6764, 5397) and collection synchronisation (RFC 6578).
//
// A request goes from Handler (server.go) to one file per method; a file per
// report hangs below report.go. What a request asks for is read by xmltree.go and
// proprequest.go. What is answered is put together by multistatus.go from a
// rendered snapshot of the collection (rendered.go), in which every property is
// written out. Storing and deleting are for the Collection to do (collection.go),
// which web has.
package dav
