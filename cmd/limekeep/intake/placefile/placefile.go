// Package placefile reads the file in which an owner describes a place and its
// equipment, and names the line of whatever is wrong in it.
package placefile

import (
	"bytes"
	"encoding"
	"errors"
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/water/figure"
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

// reader reads a place file strictly and knows the line of each field, so
// that whatever is wrong can be named with its line.
type reader struct {
	lines map[string]int // by path, such as equipment[0].machine.setting
}

// Read reads and checks a place file. Every error names the line.
func Read(r io.Reader) (schedule.Setup, error) {
	const most = 1 << 20
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	if err != nil {
		return schedule.Setup{}, err
	}
	if len(data) > most {
		return schedule.Setup{}, &record.FieldError{Field: "place file", Value: "more than 1 MiB", Want: "a place file as the README shows it"}
	}
	var document yaml.Node
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	if err := decoder.Decode(&document); err != nil {
		if errors.Is(err, io.EOF) {
			return schedule.Setup{}, &record.FieldError{Field: "place file", Want: "a place file as the README shows it"}
		}
		return schedule.Setup{}, fmt.Errorf("not YAML: %s", strings.TrimPrefix(err.Error(), "yaml: "))
	}
	p := &reader{lines: map[string]int{}}
	var f file
	if len(document.Content) != 1 {
		return schedule.Setup{}, &record.FieldError{Field: "place file", Want: "a place file as the README shows it"}
	}
	if err := p.read(document.Content[0], reflect.ValueOf(&f).Elem(), ""); err != nil {
		return schedule.Setup{}, err
	}
	if err := p.check(f); err != nil {
		return schedule.Setup{}, err
	}
	return f.setup(), nil
}

// check validates what was read, and gives errors their line.
func (p *reader) check(f file) error {
	if err := f.Place.Validate(); err != nil {
		return p.locate(err, "place")
	}
	for i, e := range f.Equipment {
		if err := e.Validate(); err != nil {
			return p.locate(err, fmt.Sprintf("equipment[%d]", i))
		}
	}
	if err := f.Care.Validate(); err != nil {
		return p.locate(err, "care")
	}
	if err := record.ValidateTogether(f.Equipment); err != nil {
		// The field starts with the id of the equipment it belongs to.
		var wrong *record.FieldError
		if errors.As(err, &wrong) {
			for i := len(f.Equipment) - 1; i >= 0; i-- {
				if rest, ok := strings.CutPrefix(wrong.Field, f.Equipment[i].ID+"."); ok {
					named := *wrong
					named.Field = rest
					return p.locate(&named, fmt.Sprintf("equipment[%d]", i))
				}
			}
		}
		return err
	}
	return f.setup().Validate()
}

// locate gives an error of a part of the file its line: that of the field, or
// of the nearest thing around it that was written.
func (p *reader) locate(err error, part string) error {
	var wrong *record.FieldError
	if !errors.As(err, &wrong) {
		return err
	}
	named := *wrong
	for _, inside := range []string{"", ".machine", ".grinder", ".water_line", ".tools"} {
		if line, ok := p.lines[part+inside+"."+wrong.Field]; ok {
			named.Field, named.Line = strings.TrimPrefix(part+inside+"."+wrong.Field, "."), line
			return &named
		}
	}
	named.Field = part + "." + wrong.Field
	for path := named.Field; path != ""; {
		for _, inside := range []string{"", ".machine", ".grinder", ".water_line", ".tools"} {
			if line, ok := p.lines[strings.Replace(path, part, part+inside, 1)]; ok {
				named.Line = line
				return &named
			}
		}
		cut := strings.LastIndexAny(path, ".[")
		path = path[:max(cut, 0)]
	}
	return &named
}

// read fills a value from a node of the file.
func (p *reader) read(node *yaml.Node, into reflect.Value, path string) error {
	if node.Kind == yaml.AliasNode {
		node = node.Alias
	}
	p.lines[path] = node.Line
	wrong := func(want string) error {
		return &record.FieldError{Field: pathName(path), Value: node.Value, Want: want, Line: node.Line}
	}
	if node.Kind == yaml.ScalarNode && node.Tag == "!!null" {
		return nil // written without a value: as if left out
	}
	if text, ok := into.Addr().Interface().(encoding.TextUnmarshaler); ok {
		if err := text.UnmarshalText([]byte(node.Value)); err != nil || node.Kind != yaml.ScalarNode {
			return wrong("a day written year-month-day, such as 2026-03-31")
		}
		return nil
	}
	switch into.Kind() {
	case reflect.Struct:
		return p.readStruct(node, into, path)
	case reflect.Pointer:
		into.Set(reflect.New(into.Type().Elem()))
		return p.read(node, into.Elem(), path)
	case reflect.Slice:
		if node.Kind != yaml.SequenceNode {
			return wrong("a list")
		}
		into.Set(reflect.MakeSlice(into.Type(), len(node.Content), len(node.Content)))
		for i, item := range node.Content {
			if err := p.read(item, into.Index(i), fmt.Sprintf("%s[%d]", path, i)); err != nil {
				return err
			}
		}
		return nil
	}
	if node.Kind != yaml.ScalarNode {
		return wrong("a single value")
	}
	switch into.Kind() {
	case reflect.String:
		into.SetString(node.Value)
	case reflect.Bool:
		b, err := strconv.ParseBool(node.Value)
		if err != nil {
			return wrong("true or false")
		}
		into.SetBool(b)
	case reflect.Float64:
		f, err := figure.Either.Read(node.Value)
		var refused *figure.ReadError
		switch {
		case errors.As(err, &refused) && refused.Why != "":
			return wrong("a number; " + refused.Why)
		case err != nil || f > 1e12 || f < -1e12:
			return wrong("a number")
		}
		into.SetFloat(f)
	default:
		return fmt.Errorf("%s: a place file cannot hold a %s", path, into.Kind())
	}
	return nil
}

// readStruct reads a mapping; a name it does not know is an error.
func (p *reader) readStruct(node *yaml.Node, into reflect.Value, path string) error {
	if node.Kind != yaml.MappingNode {
		return &record.FieldError{Field: pathName(path), Value: node.Value, Want: "fields with their values", Line: node.Line}
	}
	fields := map[string]int{}
	for i := range into.NumField() {
		name, _, _ := strings.Cut(into.Type().Field(i).Tag.Get("json"), ",")
		fields[name] = i
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(node.Content); i += 2 {
		key, value := node.Content[i], node.Content[i+1]
		field, ok := fields[key.Value]
		if !ok {
			return &record.FieldError{Field: strings.TrimPrefix(path+"."+key.Value, "."), Value: key.Value, Line: key.Line,
				Want: "one of the fields " + strings.Join(slices.Sorted(maps.Keys(fields)), ", ")}
		}
		if seen[key.Value] {
			return &record.FieldError{Field: strings.TrimPrefix(path+"."+key.Value, "."), Value: key.Value, Line: key.Line, Want: "each field once"}
		}
		seen[key.Value] = true
		if err := p.read(value, into.Field(field), strings.TrimPrefix(path+"."+key.Value, ".")); err != nil {
			return err
		}
	}
	return nil
}

func pathName(path string) string {
	if path == "" {
		return "place file"
	}
	return path
}
