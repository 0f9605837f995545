// Package store keeps the records of package record in one SQLite file, or on a
// PostgreSQL server for those whom one machine is not enough. Both are one type, DB: the
// SQL is the same but for what stands in engine.go, and both pass the same tests.
//
// What people wrote down is append-only: triggers in the schema refuse to change
// or delete a record or a line of use, and a correction is a new record that
// voids the old. The daily sums of use are state: they follow from the lines and
// can be rebuilt. The secret of the calendar's address and the passwords of apps
// are state as well: they can be replaced.
//
// Writing goes through a single connection, and one transaction at a time writes, of
// whichever process; reading through several connections that each see the records as
// they were when their reading began.
package store
