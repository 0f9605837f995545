// Package store keeps the records of package record in one SQLite file.
//
// What people wrote down is append-only: triggers in the schema refuse to change
// or delete a record or a line of use, and a correction is a new record that
// voids the old. The daily sums of use are state: they follow from the lines and
// can be rebuilt. The secret of the calendar's address and the passwords of apps
// are state as well: they can be replaced.
//
// Writing goes through a single connection, reading through several that each
// see the file as it was when their reading began.
package store
