// Package locale holds how whoever looks at a page reads dates and numbers: the order
// of day, month and year, and a decimal point or comma. It knows which languages read
// how (Unicode CLDR), finds out by what was chosen or by what the browser asks for, and
// turns a finished page into that.
package locale
