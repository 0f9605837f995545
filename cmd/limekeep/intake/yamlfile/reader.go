package yamlfile

import (
	"cmp"
	"encoding"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Reader fills values from the nodes of a file. It goes on after a mistake, so that
// all of them are found, and knows the line of each field.
type Reader struct {
	kind   Kind
	lines  map[string]int  // by path, such as equipment[0].machine.setting
	bad    map[string]bool // paths that could not be read
	found  []record.FieldError
	broken error // what is no mistake of a field
	values int   // how many were read, those that an alias brings again too
}

// Bounds of what is read, beside Kind.Most: aliases of aliases are the shortest way to write
// millions of values. A file by hand is nested six deep.
const (
	mostItems    = 500 // of a list
	mostDeep     = 20
	mostMistakes = 200
)

// Found returns the mistakes that were found so far.
func (p *Reader) Found() []record.FieldError { return p.found }

// Drop forgets mistakes that follow from others.
func (p *Reader) Drop(follows func(record.FieldError) bool) {
	p.found = slices.DeleteFunc(p.found, follows)
}

// Mistakes returns all that was found, by line.
func (p *Reader) Mistakes() error {
	if p.broken != nil {
		return p.broken
	}
	slices.SortStableFunc(p.found, func(a, b record.FieldError) int { return cmp.Compare(a.Line, b.Line) })
	all := make([]error, min(len(p.found), mostMistakes))
	for i := range all {
		all[i] = &p.found[i]
	}
	return record.AllOf(all...)
}

// Refuse notes that a node cannot be read.
func (p *Reader) Refuse(path string, node *yaml.Node, value, want string) {
	p.bad[path] = true
	p.found = append(p.found, record.FieldError{Field: cmp.Or(path, p.kind.Name), Value: value, Want: want, Line: node.Line})
}

// Read fills a value, of structs, lists, maps by name and plain values, from a file. Fields
// are named by their json tags.
func (p *Reader) Read(root *yaml.Node, into any) {
	p.read(root, reflect.ValueOf(into).Elem(), "", 0)
}

// read fills a value from a node of the file.
func (p *Reader) read(node *yaml.Node, into reflect.Value, path string, depth int) {
	p.values++
	switch {
	case p.values == p.kind.Most:
		p.Refuse("", node, fmt.Sprintf("more than %d values", p.kind.Most), p.kind.Whole+", without aliases of aliases")
		return
	case p.values > p.kind.Most:
		return
	case depth > mostDeep:
		p.Refuse(path, node, "an alias within itself", "what it stands for")
		return
	}
	p.lines[path] = node.Line // of an alias too: where it is used
	if node.Kind == yaml.AliasNode {
		node = node.Alias
	}
	if node.Kind == yaml.ScalarNode && node.Tag == "!!null" {
		return // written without a value: as if left out
	}
	if text, ok := into.Addr().Interface().(encoding.TextUnmarshaler); ok {
		if err := text.UnmarshalText([]byte(node.Value)); err != nil || node.Kind != yaml.ScalarNode {
			p.Refuse(path, node, valueOf(node), "a day written year-month-day, such as 2026-03-31")
		}
		return
	}
	switch into.Kind() {
	case reflect.Struct:
		p.readStruct(node, into, path, depth)
	case reflect.Pointer:
		into.Set(reflect.New(into.Type().Elem()))
		p.read(node, into.Elem(), path, depth+1)
	case reflect.Slice:
		p.readList(node, into, path, depth)
	case reflect.Map:
		p.readMap(node, into, path, depth)
	default:
		p.readScalar(node, into, path)
	}
}

func (p *Reader) readList(node *yaml.Node, into reflect.Value, path string, depth int) {
	if node.Kind != yaml.SequenceNode {
		if p.kind.Short != nil && node.Kind == yaml.ScalarNode && p.kind.Short(p, node, into.Addr().Interface(), path) {
			return
		}
		want := "a list, each item on a line of its own behind a hyphen"
		if node.Kind == yaml.ScalarNode && into.Type().Elem().Kind() != reflect.Struct {
			want = "a list: [" + node.Value + "]"
		}
		p.Refuse(path, node, valueOf(node), want)
		return
	}
	if len(node.Content) > mostItems {
		p.Refuse(path, node, fmt.Sprintf("a list of %d", len(node.Content)), fmt.Sprintf("%d at most", mostItems))
		return
	}
	into.Set(reflect.MakeSlice(into.Type(), len(node.Content), len(node.Content)))
	for i, item := range node.Content {
		p.read(item, into.Index(i), fmt.Sprintf("%s[%d]", path, i), depth+1)
	}
}

// readMap reads values under names of the owner's own.
func (p *Reader) readMap(node *yaml.Node, into reflect.Value, path string, depth int) {
	if node.Kind != yaml.MappingNode {
		p.Refuse(path, node, valueOf(node), "names with what belongs to each")
		return
	}
	into.Set(reflect.MakeMap(into.Type()))
	for i := 0; i+1 < len(node.Content); i += 2 {
		key := node.Content[i]
		name, below := reflect.ValueOf(key.Value), strings.TrimPrefix(path+"."+key.Value, ".")
		if into.MapIndex(name).IsValid() {
			p.found = append(p.found, record.FieldError{Field: below, Value: key.Value, Line: key.Line, Want: "each name once"})
			continue
		}
		value := reflect.New(into.Type().Elem()).Elem()
		p.read(node.Content[i+1], value, below, depth+1)
		into.SetMapIndex(name, value)
	}
}

func (p *Reader) readScalar(node *yaml.Node, into reflect.Value, path string) {
	if node.Kind != yaml.ScalarNode {
		p.Refuse(path, node, valueOf(node), "a single value")
		return
	}
	switch into.Kind() {
	case reflect.String:
		into.SetString(node.Value)
	case reflect.Bool:
		yes, err := strconv.ParseBool(node.Value)
		switch strings.ToLower(node.Value) { // YAML 1.1 has these as well
		case "yes", "on":
			yes, err = true, nil
		case "no", "off":
			yes, err = false, nil
		}
		if err != nil {
			p.Refuse(path, node, node.Value, "true or false")
			return
		}
		into.SetBool(yes)
	case reflect.Float64:
		f, err := figure.Either.Read(node.Value)
		var refused *figure.ReadError
		switch {
		case errors.As(err, &refused) && refused.Why != "":
			p.Refuse(path, node, node.Value, "a number; "+refused.Why)
			return
		case err != nil || f > 1e12 || f < -1e12:
			p.Refuse(path, node, node.Value, "a number")
			return
		}
		into.SetFloat(f)
	default:
		p.broken = fmt.Errorf("%s: a %s cannot hold a %s", path, p.kind.Name, into.Kind())
	}
}

// readStruct reads a mapping. A name that it does not know is a mistake; where it is
// clear which was meant, what stands there is read as that.
func (p *Reader) readStruct(node *yaml.Node, into reflect.Value, path string, depth int) {
	if node.Kind != yaml.MappingNode {
		p.Refuse(path, node, valueOf(node), "fields with their values: "+strings.Join(slices.Sorted(maps.Keys(FieldsOf(into.Type()))), ", "))
		return
	}
	fields := FieldsOf(into.Type())
	names := slices.Sorted(maps.Keys(fields))
	written := map[string]bool{}
	for i := 0; i+1 < len(node.Content); i += 2 {
		written[node.Content[i].Value] = true
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(node.Content); i += 2 {
		key, value := node.Content[i], node.Content[i+1]
		name := key.Value
		below := strings.TrimPrefix(path+"."+name, ".")
		if _, ok := fields[name]; !ok {
			near := record.Nearest(name, names)
			want := "one of the fields " + record.OneOf(name, names)
			if near == "" {
				want += p.elsewhere(name)
			}
			if _, err := strconv.Atoi(name); err == nil && node.Style&yaml.FlowStyle != 0 {
				want += "; between { and } commas part fields: write a decimal with a point, or in quotes"
			}
			p.Refuse(below, key, name, want)
			if near == "" || written[near] || seen[near] {
				continue
			}
			name, below = near, strings.TrimPrefix(path+"."+near, ".")
		}
		if seen[name] {
			p.found = append(p.found, record.FieldError{Field: below, Value: name, Line: key.Line, Want: "each field once"})
			continue
		}
		seen[name] = true
		p.read(value, into.Field(fields[name]), below, depth+1)
	}
}

// FieldsOf returns the names of a struct's fields in a file, with their index.
func FieldsOf(of reflect.Type) map[string]int {
	fields := map[string]int{}
	for i := range of.NumField() {
		name, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
		fields[name] = i
	}
	return fields
}

// elsewhere says where in a file a field of that name does stand, to follow a list of
// those that were possible; nothing where it stands nowhere.
func (p *Reader) elsewhere(name string) string {
	var found []string
	var look func(of reflect.Type, path string)
	look = func(of reflect.Type, path string) {
		for of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice {
			of = of.Elem()
		}
		if of.Kind() != reflect.Struct {
			return
		}
		for field, i := range FieldsOf(of) {
			if field == name && path != "" {
				found = append(found, strings.TrimPrefix(path, "."))
			}
			look(of.Field(i).Type, path+"."+field)
		}
	}
	look(p.kind.Of, "")
	if len(found) == 0 || len(found) > 3 {
		return ""
	}
	slices.Sort(found)
	return "; " + name + " stands in " + strings.Join(found, " or ")
}

// valueOf shows what stands in a node.
func valueOf(node *yaml.Node) string {
	switch node.Kind {
	case yaml.SequenceNode:
		return "a list"
	case yaml.MappingNode:
		return "fields"
	}
	return node.Value
}

// Note notes a mistake of what was read: with the line of its field, or of the
// nearest thing around it that was written. What could not be read, or what is in
// it, was told already.
func (p *Reader) Note(wrong record.FieldError) {
	for path := wrong.Field; path != ""; path = path[:max(strings.LastIndexAny(path, ".["), 0)] {
		if p.bad[path] {
			return
		}
		if line, ok := p.lines[path]; ok && wrong.Line == 0 {
			wrong.Line = line
		}
	}
	p.found = append(p.found, wrong)
}

// NoteIn notes mistakes of a part of the file.
func (p *Reader) NoteIn(part string, err error) {
	p.Each(err, func(wrong record.FieldError) {
		wrong.Field = strings.TrimPrefix(part+"."+wrong.Field, ".")
		p.Note(wrong)
	})
}

// Each gives the mistakes of an error; another kind of error ends the reading.
func (p *Reader) Each(err error, note func(record.FieldError)) {
	all, ok := record.MistakesOf(err)
	if !ok && err != nil {
		p.broken = err
	}
	for _, wrong := range all {
		note(*wrong)
	}
}
