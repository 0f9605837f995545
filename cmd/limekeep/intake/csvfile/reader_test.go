package csvfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
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
	for _, file := range []string{"a,b\n\"x, \"\"y\"\"\nz\",\n", "\uFEFFa;b\r\n1;2\r\n", "a,b\n1,2\"3,4\n", "a\n\"", "\"a\"b\nc", "a\r\rb\n\r\n,\n"} {
		f.Add([]byte(file))
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		got, broken, err := readAll(bytes.NewReader(file))
		if err != nil {
			return
		}
		opened, err := Open(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
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
