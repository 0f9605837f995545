// Package placefile reads the file in which an owner describes a place and its
// equipment, and tells all that is wrong in it at once, each with its line.
package placefile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v3"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// file is a place file as it is written.
type file struct {
	Place     record.Place       `json:"place"`
	Equipment []record.Equipment `json:"equipment"`
	Care      record.OwnCare     `json:"care"`
}

func (f file) setup() schedule.Setup {
	return schedule.Setup{Place: f.Place, Equipment: f.Equipment, Care: f.Care}
}

// Check is what a caller asks of a setup beside what it says of itself, such as that
// no day lies ahead. Fields are named as schedule.Setup.Validate names them.
type Check func(schedule.Setup) error

// mostBytes is how long a place file can be: a thousand times the README's.
const mostBytes = 1 << 20

// Read reads a place file, fills in what may be left out, and checks it. What is
// wrong is told all at once: the error is a *record.FieldError or
// record.MistakesError, in the order of the lines, and each names its line.
func Read(r io.Reader, checks ...Check) (schedule.Setup, error) {
	data, err := readBounded(r)
	if err != nil {
		return schedule.Setup{}, err
	}
	root, err := parse(data)
	if err != nil {
		return schedule.Setup{}, err
	}
	p := newReader()
	var f file
	p.read(root, reflect.ValueOf(&f).Elem(), "", 0)
	setup := schedule.FillIn(f.setup())
	p.check(setup, checks)
	if err := p.mistakes(); err != nil {
		return schedule.Setup{}, err
	}
	return setup, nil
}

// readBounded reads a file that may not be longer than a place file can be.
func readBounded(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err == nil && len(data) > mostBytes {
		return nil, &record.FieldError{Field: "place file", Value: "more than 1 MiB", Want: "a place file as the README shows it"}
	}
	return data, err
}

// parse takes the file apart. What is not YAML cannot be read further, so that it is
// the only mistake told.
func parse(data []byte) (*yaml.Node, error) {
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	var document, more yaml.Node
	err := decoder.Decode(&document)
	if err == nil && len(document.Content) == 1 {
		if err := decoder.Decode(&more); !errors.Is(err, io.EOF) {
			return nil, &record.FieldError{Field: "place file", Value: "---", Line: more.Line, Want: "one document: a file describes one place"}
		}
		return document.Content[0], nil
	}
	if err == nil || errors.Is(err, io.EOF) {
		return nil, &record.FieldError{Field: "place file", Want: "a place file as the README shows it"}
	}
	why := strings.TrimPrefix(err.Error(), "yaml: ")
	if bytes.Contains(data, []byte("\t")) && strings.Contains(why, "cannot start any token") {
		why += ": indent by blanks, not by tabs"
	}
	return nil, fmt.Errorf("not YAML: %s", why)
}
