// Package yamlfile reads files that people write by hand, as YAML, into structs. It goes on
// after a mistake: all of them are told at once, each with its line and what was likely
// meant.
package yamlfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v3"

	"limekeep/schedule/record"
)

// Kind is a sort of file.
type Kind struct {
	Name  string       // as people call it, such as "place file"
	Whole string       // what one should be, such as "a place file as the README shows it"
	One   string       // why it has one document, such as "a file describes one place"
	Of    reflect.Type // the struct that it is read into
	Most  int          // values that one may hold, many times as many as people write

	// Short takes a plain value where a list stands usually, and reports whether it may
	// stand there; nil where none may.
	Short func(p *Reader, node *yaml.Node, into any, path string) bool
}

// mostBytes is how long a file can be: a thousand times the README's.
const mostBytes = 1 << 20

// Bounded reads a file that may not be longer than one can be.
func (k Kind) Bounded(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err == nil && len(data) > mostBytes {
		return nil, &record.FieldError{Field: k.Name, Value: "more than 1 MiB", Want: k.Whole}
	}
	return data, err
}

// Parse takes a file apart; nil where nothing stands in it. What is not YAML cannot be read
// further, so that it is the only mistake told.
func (k Kind) Parse(data []byte) (*yaml.Node, error) {
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	var document, more yaml.Node
	err := decoder.Decode(&document)
	if err == nil && len(document.Content) == 1 {
		if err := decoder.Decode(&more); !errors.Is(err, io.EOF) {
			return nil, &record.FieldError{Field: k.Name, Value: "---", Line: more.Line, Want: "one document: " + k.One}
		}
		return document.Content[0], nil
	}
	if err == nil || errors.Is(err, io.EOF) {
		return nil, nil //nolint:nilnil // there is none
	}
	why := strings.TrimPrefix(err.Error(), "yaml: ")
	if bytes.Contains(data, []byte("\t")) && strings.Contains(why, "cannot start any token") {
		why += ": indent by blanks, not by tabs"
	}
	return nil, fmt.Errorf("not YAML: %s", why)
}

// Reader returns a reader of such a file.
func (k Kind) Reader() *Reader {
	return &Reader{kind: k, lines: map[string]int{}, bad: map[string]bool{}}
}
