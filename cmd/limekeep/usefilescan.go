package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"limekeep/schedule/record"
)

// useScanner takes a CSV file apart, record by record, in memory that does not
// grow with it: cells parted by commas, semicolons or tabs, quotes around cells
// that hold these or line ends (RFC 4180). Blank lines are passed over.
type useScanner struct {
	r          io.Reader
	buffer     []byte
	start, end int // what is read and not yet handed out
	ended      bool
	separator  byte
	cells      [][]byte
	line       int   // number of the line on which the last record begins, from 1
	next       int   // number of the line that comes next
	taken      int64 // bytes handed out so far
	scratch    []byte
}

// longestRecord bounds a record: no shot has that much to say, and a file of
// something else is not read into memory.
const longestRecord = 1 << 16

// errLongRecord says that a record has no end in sight.
var errLongRecord = &record.FieldError{Field: "row", Value: "more than 64 KiB without an end",
	Want: "a file of rows of text, and quotes only in pairs around whole cells"}

func newUseScanner(r io.Reader) *useScanner {
	return &useScanner{r: r, buffer: make([]byte, longestRecord), next: 1}
}

// open looks at the beginning of the file: what it is written in, and what parts
// the cells of its header.
func (s *useScanner) open() error {
	line, err := s.peekLine()
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	for _, mark := range []struct {
		bytes    string
		encoding string
	}{{"\xFF\xFE", "UTF-16"}, {"\xFE\xFF", "UTF-16"}} {
		if bytes.HasPrefix(line, []byte(mark.bytes)) {
			return fmt.Errorf("header: %w", &record.FieldError{Field: "encoding", Value: mark.encoding, Want: "the file saved as UTF-8"})
		}
	}
	if bytes.HasPrefix(line, byteOrderMark) {
		s.start += len(byteOrderMark)
		line = line[len(byteOrderMark):]
	}
	s.separator = byte(separator(line))
	return nil
}

// peekLine gives what is left up to the end of the line, without taking it.
func (s *useScanner) peekLine() ([]byte, error) {
	n, err := s.find('\n', 0)
	return s.buffer[s.start : s.start+n], err
}

// find gives how many bytes from from on lie before the next of a kind, reading
// on where there is none yet. At the end of the file it gives what is left, with
// io.EOF.
func (s *useScanner) find(kind byte, from int) (int, error) {
	for {
		if i := bytes.IndexByte(s.buffer[s.start+from:s.end], kind); i >= 0 {
			return from + i, nil
		}
		if s.ended {
			return s.end - s.start, io.EOF
		}
		from = s.end - s.start
		if from == len(s.buffer) {
			return from, errLongRecord
		}
		if err := s.fill(); err != nil {
			return from, err
		}
	}
}

func (s *useScanner) fill() error {
	if s.start > 0 {
		copy(s.buffer, s.buffer[s.start:s.end])
		s.end -= s.start
		s.start = 0
	}
	n, err := s.r.Read(s.buffer[s.end:])
	s.end += n
	if errors.Is(err, io.EOF) {
		s.ended = true
		return nil
	}
	if err != nil {
		return fmt.Errorf("the file cannot be read any further: %w", err)
	}
	return nil
}

// read gives the cells of the next record, good until the next call, or io.EOF.
func (s *useScanner) read() ([][]byte, error) {
	for {
		s.line = s.next
		n, err := s.find('\n', 0)
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, err
		}
		atEnd := errors.Is(err, io.EOF)
		if atEnd && n == 0 {
			return nil, io.EOF
		}
		line := s.buffer[s.start : s.start+n]
		if bytes.IndexByte(line, '"') >= 0 {
			return s.readQuoted()
		}
		s.take(n, atEnd)
		line = bytes.TrimSuffix(line, []byte{'\r'})
		if len(line) == 0 {
			continue
		}
		s.cells = s.cells[:0]
		for {
			i := bytes.IndexByte(line, s.separator)
			if i < 0 {
				s.cells = append(s.cells, line)
				break
			}
			s.cells = append(s.cells, line[:i])
			line = line[i+1:]
		}
		return s.cells, s.checkText()
	}
}

// take hands bytes out, with the line end behind them where there is one.
func (s *useScanner) take(n int, atEnd bool) {
	if !atEnd {
		n++
	}
	s.next++
	s.start += n
	s.taken += int64(n)
}

// readQuoted takes a record apart that has quotes in it.
func (s *useScanner) readQuoted() ([][]byte, error) {
	s.cells, s.scratch = s.cells[:0], s.scratch[:0]
	var ends []int // of each cell in scratch
	at := 0
	for {
		c, ok, err := s.byteAt(at)
		if err != nil {
			return nil, err
		}
		if ok && c == '"' {
			if at, err = s.quotedCell(at + 1); err != nil {
				return nil, err
			}
		} else if at, err = s.plainCell(at); err != nil {
			return nil, err
		}
		ends = append(ends, len(s.scratch))
		c, ok, err = s.byteAt(at)
		if err != nil {
			return nil, err
		}
		if ok && c == s.separator {
			at++
			continue
		}
		break
	}
	// What is left is the line end, or the end of the file.
	if c, ok, _ := s.byteAt(at); ok && c == '\r' {
		at++
	}
	_, ok, _ := s.byteAt(at)
	s.take(at, !ok)
	begin := 0
	for _, end := range ends {
		s.cells = append(s.cells, s.scratch[begin:end])
		begin = end
	}
	return s.cells, s.checkText()
}

// byteAt gives a byte of the record; false at the end of the file.
func (s *useScanner) byteAt(at int) (byte, bool, error) {
	for s.start+at >= s.end {
		if s.ended {
			return 0, false, nil
		}
		if s.end-s.start == len(s.buffer) {
			return 0, false, errLongRecord
		}
		if err := s.fill(); err != nil {
			return 0, false, err
		}
	}
	return s.buffer[s.start+at], true, nil
}

// plainCell copies a cell without quotes and gives where it ends.
func (s *useScanner) plainCell(at int) (int, error) {
	for ; ; at++ {
		c, ok, err := s.byteAt(at)
		if err != nil {
			return at, err
		}
		if !ok || c == s.separator || c == '\n' {
			return at, nil
		}
		if c == '\r' {
			if after, ok, err := s.byteAt(at + 1); err != nil || !ok || after == '\n' {
				return at, err
			}
		}
		if c == '"' {
			return at, s.quoteError()
		}
		s.scratch = append(s.scratch, c)
	}
}

// quotedCell copies a cell from behind its quote and gives where it ends.
func (s *useScanner) quotedCell(at int) (int, error) {
	for ; ; at++ {
		c, ok, err := s.byteAt(at)
		if err != nil {
			return at, err
		}
		if !ok {
			return at, s.quoteError()
		}
		if c == '\n' {
			s.next++
		}
		if c != '"' {
			s.scratch = append(s.scratch, c)
			continue
		}
		after, ok, err := s.byteAt(at + 1)
		switch {
		case err != nil:
			return at, err
		case ok && after == '"':
			s.scratch = append(s.scratch, '"')
			at++
		case !ok, after == s.separator, after == '\n', after == '\r':
			return at + 1, nil
		default:
			return at, s.quoteError()
		}
	}
}

func (s *useScanner) quoteError() error {
	return &record.FieldError{Field: "row", Value: "a quote that has no other", Want: "cells parted by commas, quotes only around whole cells"}
}

// checkText sees that the cells are text.
func (s *useScanner) checkText() error {
	for i, cell := range s.cells {
		if bytes.IndexByte(cell, 0) >= 0 {
			return &record.FieldError{Field: fmt.Sprintf("column %d", i+1), Value: "a NUL byte", Want: "text; the file is damaged or of another kind"}
		}
		if !utf8.Valid(cell) {
			return &record.FieldError{Field: fmt.Sprintf("column %d", i+1), Value: fmt.Sprintf("%q", cell), Want: "the file saved as UTF-8"}
		}
	}
	return nil
}
