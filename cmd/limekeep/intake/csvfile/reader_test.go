package csvfile

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/sample/bound"
)

// readAll reads all records, and goes on behind broken ones.
func readAll(in io.Reader) (records [][]string, broken int, err error) {
	r, err := Open(in)
	if err != nil {
		return nil, 0, err
	}
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return records, broken, nil
		}
		if errors.Is(err, ErrQuotes) {
			broken++
		} else if err != nil {
			return records, broken, err
		}
		record := []string{}
		for _, c := range cells {
			record = append(record, string(c))
		}
		records = append(records, record)
	}
}

func TestRead(t *testing.T) {
	for _, c := range []struct {
		name, file string
		want       [][]string
		broken     int
	}{
		{"commas", "a,b\n1,2\n", [][]string{{"a", "b"}, {"1", "2"}}, 0},
		{"semicolons, since there are more", "a;b,c;d\n1;2;3\n", [][]string{{"a", "b,c", "d"}, {"1", "2", "3"}}, 0},
		{"tabs, a byte-order mark, CRLF, blank lines", "\uFEFFa\tb\r\n\r\n1\t2\r\n", [][]string{{"a", "b"}, {"1", "2"}}, 0},
		{"quotes (RFC 4180, 2.5 to 2.7)", "a,b\n\"x, \"\"y\"\"\nz\",\n", [][]string{{"a", "b"}, {"x, \"y\"\nz", ""}}, 0},
		{"no line end behind the last", "a\n1", [][]string{{"a"}, {"1"}}, 0},
		{"a quote inside of a cell", "a,b\n1,2\"3,4\n5,6\n", [][]string{{"a", "b"}, {"1"}, {"5", "6"}}, 1},
		{"something behind a quote", "a,b\n\"1\"2,3\n5,6\n", [][]string{{"a", "b"}, {}, {"5", "6"}}, 1},
		{"a quote without its other", "a,b\n1,\"2\n3,4\n", [][]string{{"a", "b"}, {"1"}}, 1},
		{"nothing", "", nil, 0},
		{"UTF-16, the low byte first", "\xFF\xFE" + utf16Bytes("a;b\n\u00e9;2\n", binary.LittleEndian), [][]string{{"a", "b"}, {"\u00e9", "2"}}, 0},
		{"UTF-16, the high byte first", "\xFE\xFF" + utf16Bytes("a;b\n\u00e9;2\n", binary.BigEndian), [][]string{{"a", "b"}, {"\u00e9", "2"}}, 0},
		{"line ends of old Macs", "a,b\r1,\"2\r3\"\r\r4,5\r", [][]string{{"a", "b"}, {"1", "2\r3"}, {"4", "5"}}, 0},
		{"line ends of old Macs, the last without", "a,b\r1,2", [][]string{{"a", "b"}, {"1", "2"}}, 0},
		{"a separator that is told", "sep=;\r\na,b,c;d\r\n1;2\r\n", [][]string{{"a,b,c", "d"}, {"1", "2"}}, 0},
		{"a tab that is told", "\"sep=\t\"\na,b\tc\n", [][]string{{"a,b", "c"}}, 0},
		{"bars", "a|b\n1|2\n", [][]string{{"a", "b"}, {"1", "2"}}, 0},
		{"blank lines before the first", "\n\r\na;b\n", [][]string{{"a", "b"}}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			for way, in := range map[string]io.Reader{"whole": strings.NewReader(c.file), "byte by byte": iotest.OneByteReader(strings.NewReader(c.file))} {
				got, broken, err := readAll(in)
				if err != nil || broken != c.broken {
					t.Errorf("%s: %d broken, %v", way, broken, err)
				}
				if diff := cmp.Diff(c.want, got); diff != "" {
					t.Errorf("%s, -want +got:\n%s", way, diff)
				}
			}
		})
	}
}

func utf16Bytes(text string, order binary.AppendByteOrder) string {
	var out []byte
	for _, unit := range utf16.Encode([]rune(text)) {
		out = order.AppendUint16(out, unit)
	}
	return string(out)
}

// Files of another kind are named by what they are.
func TestOpenOtherKinds(t *testing.T) {
	for beginning, want := range map[string]string{"PK\x03\x04\x14": "workbook", "\xD0\xCF\x11\xE0\xA1": "workbook", "\x1F\x8B\x08": "gzip", "%PDF-1.7": "PDF", "[{\"date\":": "JSON", "<table>": "HTML"} {
		if _, err := Open(strings.NewReader(beginning)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", beginning, err)
		}
	}
}

// A title is passed over by whoever knows that it is one; what parts the cells is
// looked for anew behind it.
func TestGuess(t *testing.T) {
	r, err := Open(strings.NewReader("Shots, all of them, 2026\n\na;b\n1;2\n"))
	if err != nil {
		t.Fatal(err)
	}
	if title, err := r.Read(); err != nil || len(title) != 3 {
		t.Errorf("%q, %v", title, err)
	}
	if err := r.Guess(); err != nil || r.Separator() != ';' {
		t.Errorf("%q, %v", r.Separator(), err)
	}
	if cells, err := r.Read(); err != nil || len(cells) != 2 || r.Line() != 3 {
		t.Errorf("%q on line %d, %v", cells, r.Line(), err)
	}
}

func TestReadErrors(t *testing.T) {
	long := strings.Repeat("x", 1<<17)
	for name, file := range map[string]string{"a long header": long, "a long row": "a\n" + long, "a long quote": "a\n\"" + long} {
		if _, _, err := readAll(strings.NewReader(file)); !errors.Is(err, ErrTooLong) {
			t.Errorf("%s: %v", name, err)
		}
	}
	gone := errors.New("the disk is gone")
	if _, _, err := readAll(io.MultiReader(strings.NewReader("a\n1\n"), iotest.ErrReader(gone))); !errors.Is(err, gone) {
		t.Errorf("got %v", err)
	}
}

// FuzzRead gives whatever it can think of as a file. Reading ends, takes every
// byte, and where encoding/csv of the standard library reads the file without a
// complaint, gives the same cells.
func FuzzRead(f *testing.F) {
	for _, file := range []string{"a,b\n\"x, \"\"y\"\"\nz\",\n", "\uFEFFa;b\r\n1;2\r\n", "a,b\n1,2\"3,4\n", "a\n\"", "\"a\"b\nc", "a\r\rb\n\r\n,\n", "a,b\r1,2\r", "sep=;\na;b\n", "\xFF\xFEa\x00,\x00"} {
		f.Add([]byte(file))
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		defer bound.Memory(t)()
		got, broken, err := readAll(bytes.NewReader(file))
		if err != nil {
			return
		}
		opened, err := Open(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		if opened.lineEnd == '\r' || opened.told || bytes.HasPrefix(file, []byte{0xFF, 0xFE}) || bytes.HasPrefix(file, []byte{0xFE, 0xFF}) {
			return // which encoding/csv does not read
		}
		reference := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(file, byteOrderMark)))
		reference.Comma, reference.FieldsPerRecord = rune(opened.Separator()), -1
		want, err := reference.ReadAll()
		if err != nil {
			return
		}
		if broken > 0 {
			t.Fatalf("%d records are broken, and for encoding/csv none", broken)
		}
		// It keeps line ends in quotes as they are, where encoding/csv writes them anew.
		for i := range got {
			for j := range got[i] {
				got[i][j] = strings.ReplaceAll(got[i][j], "\r\n", "\n")
			}
		}
		if diff := cmp.Diff(want, got); diff != "" && (len(want) > 0 || len(got) > 0) {
			t.Fatalf("-encoding/csv +got:\n%s", diff)
		}
	})
}
