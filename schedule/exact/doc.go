// Package exact writes values as bytes and reads them back to the bit: what is kept of
// a forecast must be what was worked out, down to numbers that are not numbers, to a
// list that is empty against one that is not there. Texts of JSON cannot tell these
// apart, and take five times as long to read.
//
// Nothing in the bytes says what they hold: who reads must know that they were written
// from the same type by the same program.
package exact
