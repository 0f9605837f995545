package csvfile

import (
	"bytes"
	"errors"
	"io"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"limekeep/schedule/record"
)

// Open looks at the beginning of a file: what it is written in, where its lines
// end, and what parts the cells of its first row. A file of another kind, such
// as a workbook, is refused by what it is.
func Open(in io.Reader) (*Reader, error) {
	r := &Reader{in: in, buffer: make([]byte, longestRecord), next: 1, lineEnd: '\n'}
	line, err := r.peekLine()
	if failed(err) {
		return nil, err
	}
	if kind := kindOf(line); kind != "" {
		return nil, &record.FieldError{Field: "file", Value: kind, Want: "the table itself, saved or exported as CSV"}
	}
	if r.decodeUTF16(line) {
		if line, err = r.peekLine(); failed(err) {
			return nil, err
		}
	}
	if bytes.HasPrefix(line, byteOrderMark) {
		r.start += len(byteOrderMark)
		line = line[len(byteOrderMark):]
	}
	// Old Macs end lines with a carriage return alone: where there is no other
	// line end, that is it.
	if err != nil && bytes.IndexByte(bytes.TrimSuffix(line, []byte{'\r'}), '\r') >= 0 {
		r.lineEnd = '\r'
		line, err = r.peekLine()
	}
	if errors.Is(err, ErrTooLong) {
		return nil, err
	}
	if told, ok := toldSeparator(line); ok {
		r.separator, r.told = told, true
		r.take(len(line), err != nil)
	}
	return r, r.Guess()
}

// failed tells an error that leaves nothing to look at from the end of the file
// and from a first line that does not end.
func failed(err error) bool {
	return err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, ErrTooLong)
}

// decodeUTF16 puts a decoder before what follows where the file begins with the
// byte-order mark of UTF-16.
func (r *Reader) decodeUTF16(line []byte) bool {
	if !bytes.HasPrefix(line, []byte{0xFF, 0xFE}) && !bytes.HasPrefix(line, []byte{0xFE, 0xFF}) {
		return false
	}
	begun := bytes.Clone(r.buffer[r.start:r.end])
	decoder := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder()
	r.in = transform.NewReader(io.MultiReader(bytes.NewReader(begun), r.in), decoder)
	r.start, r.end, r.ended = 0, 0, false
	return true
}

// kindOf names what a file is that holds no CSV, by how such files begin.
func kindOf(beginning []byte) string {
	for _, k := range []struct{ begins, is string }{
		{"PK\x03\x04", "a workbook (xlsx, ods, numbers) or a zip file"},
		{"\xD0\xCF\x11\xE0", "a workbook (xls)"},
		{"\x1F\x8B", "a compressed file (gzip)"},
		{"%PDF", "a PDF"},
		{"{", "a file of JSON"}, {"[{", "a file of JSON"},
		{"<", "a file of HTML or XML"},
	} {
		if bytes.HasPrefix(beginning, []byte(k.begins)) {
			return k.is
		}
	}
	return ""
}

// toldSeparator reads the line sep=; that some spreadsheets begin a file with.
func toldSeparator(line []byte) (byte, bool) {
	line = bytes.Trim(line, "\" \r")
	if len(line) == len("sep=;") && bytes.EqualFold(line[:4], []byte("sep=")) && bytes.IndexByte(separators, line[4]) >= 0 {
		return line[4], true
	}
	return 0, false
}

// Guess finds out from the next line that is not blank what parts the cells,
// where the file does not say so: its first line may be a title.
func (r *Reader) Guess() error {
	for {
		line, err := r.peekLine()
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		if err == nil && len(bytes.TrimSuffix(line, []byte{'\r'})) == 0 {
			r.take(len(line), false)
			continue
		}
		if !r.told {
			r.separator = separator(line)
		}
		r.crlf = r.crlf || err == nil && bytes.HasSuffix(line, []byte{'\r'})
		return nil
	}
}

// separators are what may part cells.
var separators = []byte(",;\t|")

// separator finds what parts the cells of a header: the comma unless there are
// more semicolons, tabs or bars.
func separator(header []byte) byte {
	best, most := byte(','), bytes.Count(header, []byte{','})
	for _, s := range separators[1:] {
		if n := bytes.Count(header, []byte{s}); n > most {
			best, most = s, n
		}
	}
	return best
}

// byteOrderMark is what some programs begin a file in UTF-8 with.
var byteOrderMark = []byte("\xEF\xBB\xBF")
