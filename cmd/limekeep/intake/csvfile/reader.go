// Package csvfile takes files of comma-separated values apart as they come from
// spreadsheets and apps: in UTF-8 or, with a byte-order mark, UTF-16; whatever
// ends their lines and parts their cells. Shot logs and tables of waters are read with it.
package csvfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"limekeep/schedule/record"
)

// Reader takes a CSV file apart, record by record, in memory that does not
// grow with it: cells parted by commas, semicolons, tabs or bars, quotes around
// cells that hold these or line ends (RFC 4180). Blank lines are passed over.
type Reader struct {
	in         io.Reader
	buffer     []byte
	start, end int // what is read and not yet handed out
	ended      bool
	separator  byte
	told       bool // the file says itself what parts its cells
	lineEnd    byte
	crlf       bool
	cells      [][]byte
	line       int   // number of the line on which the last record begins, from 1
	next       int   // number of the line that comes next
	taken      int64 // bytes handed out so far
	scratch    []byte
}

// longestRecord bounds a record: no shot has that much to say, and a file of
// something else is not read into memory.
const longestRecord = 1 << 16

// Errors of a record. After ErrQuotes the record behind can be read; after
// ErrTooLong nothing can.
var (
	ErrTooLong error = &record.FieldError{Field: "row", Value: "more than 64 KiB without an end",
		Want: "a file of rows of text, and quotes only in pairs around whole cells"}
	ErrQuotes error = &record.FieldError{Field: "row", Value: "a quote that has no other",
		Want: "cells parted by commas, quotes only around whole cells"}
)

// Separator returns what parts the cells: a comma, a semicolon, a tab or a bar.
func (r *Reader) Separator() byte { return r.separator }

// CRLF reports whether the first line ends as lines do on Windows.
func (r *Reader) CRLF() bool { return r.crlf }

// Line returns the number of the line on which the last record begins, from 1.
func (r *Reader) Line() int { return r.line }

// Taken returns how many bytes the records read so far had.
func (r *Reader) Taken() int64 { return r.taken }

// peekLine returns what is left up to the end of the line, without taking it.
func (r *Reader) peekLine() ([]byte, error) {
	n, err := r.find(r.lineEnd, 0)
	return r.buffer[r.start : r.start+n], err
}

// find returns how many bytes from from on lie before the next of a kind,
// reading on where there is none yet. At the end of the file it returns what is
// left, with io.EOF.
func (r *Reader) find(kind byte, from int) (int, error) {
	for {
		if i := bytes.IndexByte(r.buffer[r.start+from:r.end], kind); i >= 0 {
			return from + i, nil
		}
		if r.ended {
			return r.end - r.start, io.EOF
		}
		from = r.end - r.start
		if from == len(r.buffer) {
			return from, ErrTooLong
		}
		if err := r.fill(); err != nil {
			return from, err
		}
	}
}

func (r *Reader) fill() error {
	if r.start > 0 {
		copy(r.buffer, r.buffer[r.start:r.end])
		r.end -= r.start
		r.start = 0
	}
	n, err := r.in.Read(r.buffer[r.end:])
	r.end += n
	if errors.Is(err, io.EOF) {
		r.ended = true
		return nil
	}
	if err != nil {
		return fmt.Errorf("the file cannot be read any further: %w", err)
	}
	return nil
}

// Read returns the cells of the next record, good until the next call, or
// io.EOF. With ErrQuotes come the cells before the one that is broken.
func (r *Reader) Read() ([][]byte, error) {
	for {
		r.line = r.next
		n, err := r.find(r.lineEnd, 0)
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, err
		}
		atEnd := errors.Is(err, io.EOF)
		if atEnd && n == 0 {
			return nil, io.EOF
		}
		line := r.buffer[r.start : r.start+n]
		if bytes.IndexByte(line, '"') >= 0 {
			return r.readQuoted()
		}
		r.take(n, atEnd)
		line = bytes.TrimSuffix(line, []byte{'\r'})
		if len(line) == 0 {
			continue
		}
		r.cells = r.cells[:0]
		for {
			i := bytes.IndexByte(line, r.separator)
			if i < 0 {
				r.cells = append(r.cells, line)
				break
			}
			r.cells = append(r.cells, line[:i])
			line = line[i+1:]
		}
		return r.cells, nil
	}
}

// take hands bytes out, with the line end behind them where there is one.
func (r *Reader) take(n int, atEnd bool) {
	if !atEnd {
		n++
	}
	r.next++
	r.start += n
	r.taken += int64(n)
}

// readQuoted takes a record apart that has quotes in it.
func (r *Reader) readQuoted() ([][]byte, error) {
	r.cells, r.scratch = r.cells[:0], r.scratch[:0]
	var ends []int // of each cell in scratch
	var at int
	var err error
	for {
		at, err = r.cell(at)
		if err != nil {
			break
		}
		ends = append(ends, len(r.scratch))
		var c byte
		var ok bool
		if c, ok, err = r.byteAt(at); err != nil || !ok || c != r.separator {
			break
		}
		at++
	}
	switch {
	case errors.Is(err, ErrQuotes): // on behind the line that it was found on
		n, endErr := r.find(r.lineEnd, at)
		if endErr != nil && !errors.Is(endErr, io.EOF) {
			return nil, endErr
		}
		r.take(n, endErr != nil)
	case err != nil:
		return nil, err
	default:
		// What is left is the line end, or the end of the file.
		if c, ok, _ := r.byteAt(at); ok && c == '\r' && r.lineEnd != '\r' {
			at++
		}
		_, ok, _ := r.byteAt(at)
		r.take(at, !ok)
	}
	begin := 0
	for _, end := range ends {
		r.cells = append(r.cells, r.scratch[begin:end])
		begin = end
	}
	return r.cells, err
}

// byteAt returns a byte of the record; false at the end of the file.
func (r *Reader) byteAt(at int) (byte, bool, error) {
	for r.start+at >= r.end {
		if r.ended {
			return 0, false, nil
		}
		if r.end-r.start == len(r.buffer) {
			return 0, false, ErrTooLong
		}
		if err := r.fill(); err != nil {
			return 0, false, err
		}
	}
	return r.buffer[r.start+at], true, nil
}

// cell copies a cell and returns where it ends.
func (r *Reader) cell(at int) (int, error) {
	c, ok, err := r.byteAt(at)
	if err != nil {
		return at, err
	}
	if ok && c == '"' {
		return r.quotedCell(at + 1)
	}
	return r.plainCell(at)
}

// plainCell copies a cell without quotes and returns where it ends.
func (r *Reader) plainCell(at int) (int, error) {
	for ; ; at++ {
		c, ok, err := r.byteAt(at)
		if err != nil {
			return at, err
		}
		if !ok || c == r.separator || c == r.lineEnd {
			return at, nil
		}
		if c == '\r' {
			if after, ok, err := r.byteAt(at + 1); err != nil || !ok || after == '\n' {
				return at, err
			}
		}
		if c == '"' {
			return at, ErrQuotes
		}
		r.scratch = append(r.scratch, c)
	}
}

// quotedCell copies a cell from behind its quote and returns where it ends.
func (r *Reader) quotedCell(at int) (int, error) {
	for ; ; at++ {
		c, ok, err := r.byteAt(at)
		if err != nil {
			return at, err
		}
		if !ok {
			return at, ErrQuotes
		}
		if c == r.lineEnd {
			r.next++
		}
		if c != '"' {
			r.scratch = append(r.scratch, c)
			continue
		}
		after, ok, err := r.byteAt(at + 1)
		switch {
		case err != nil:
			return at, err
		case ok && after == '"':
			r.scratch = append(r.scratch, '"')
			at++
		case !ok, after == r.separator, after == r.lineEnd, after == '\r':
			return at + 1, nil
		default:
			return at, ErrQuotes
		}
	}
}

// CheckText sees that the cells of a record are text in UTF-8.
func CheckText(cells [][]byte) error {
	for n, cell := range cells {
		if plain(cell) {
			continue
		}
		if bytes.IndexByte(cell, 0) >= 0 {
			return &record.FieldError{Field: fmt.Sprintf("column %d", n+1), Value: "a NUL byte", Want: "text; the file is damaged, in UTF-16 without its mark, or no text at all"}
		}
		if i := bytes.IndexByte(cell, '\r'); i >= 0 && (i+1 == len(cell) || cell[i+1] != '\n') {
			return &record.FieldError{Field: fmt.Sprintf("column %d", n+1), Value: "a carriage return alone", Want: "the file saved with one kind of line ends"}
		}
		if !utf8.Valid(cell) {
			return &record.FieldError{Field: fmt.Sprintf("column %d", n+1), Value: fmt.Sprintf("%q", cell), Want: "the file saved as UTF-8"}
		}
	}
	return nil
}

// plain reports whether a cell is ASCII without a NUL or a carriage return.
func plain(cell []byte) bool {
	for _, c := range cell {
		if c >= utf8.RuneSelf || c == 0 || c == '\r' {
			return false
		}
	}
	return true
}
