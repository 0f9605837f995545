package placefile

import (
	"cmp"
	"encoding"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// reader fills values from the nodes of a file. It goes on after a mistake, so that
// all of them are found, and knows the line of each field.
type reader struct {
	lines  map[string]int  // by path, such as equipment[0].machine.setting
	bad    map[string]bool // paths that could not be read
	found  []record.FieldError
	broken error // what is no mistake of a field
	values int   // how many were read, those that an alias brings again too
}

// Bounds of what is read. A file by hand has some hundred values, nested six deep;
// aliases of aliases are the shortest way to write millions.
const (
	mostValues   = 20_000
	mostItems    = 500 // of a list
	mostDeep     = 20
	mostMistakes = 200
)

func newReader() *reader { return &reader{lines: map[string]int{}, bad: map[string]bool{}} }

var equipmentID = regexp.MustCompile(`^equipment\[\d+\]\.id$`)

// mistakes returns all that was found, by line.
func (p *reader) mistakes() error {
	if p.broken != nil {
		return p.broken
	}
	// What points at equipment may be right once an id is that cannot be one.
	if slices.ContainsFunc(p.found, func(wrong record.FieldError) bool { return equipmentID.MatchString(wrong.Field) }) {
		p.found = slices.DeleteFunc(p.found, func(wrong record.FieldError) bool {
			return strings.HasSuffix(wrong.Field, ".machine.water_line") || strings.Contains(wrong.Field, ".grinder.serves[")
		})
	}
	slices.SortStableFunc(p.found, func(a, b record.FieldError) int { return cmp.Compare(a.Line, b.Line) })
	all := make([]error, min(len(p.found), mostMistakes))
	for i := range all {
		all[i] = &p.found[i]
	}
	return record.AllOf(all...)
}

// refuse notes that a node cannot be read.
func (p *reader) refuse(path string, node *yaml.Node, value, want string) {
	p.bad[path] = true
	p.found = append(p.found, record.FieldError{Field: pathName(path), Value: value, Want: want, Line: node.Line})
}

// read fills a value from a node of the file.
func (p *reader) read(node *yaml.Node, into reflect.Value, path string, depth int) {
	p.values++
	switch {
	case p.values == mostValues:
		p.refuse("", node, fmt.Sprintf("more than %d values", mostValues), "a place file as the README shows it, without aliases of aliases")
		return
	case p.values > mostValues:
		return
	case depth > mostDeep:
		p.refuse(path, node, "an alias within itself", "what it stands for")
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
			p.refuse(path, node, valueOf(node), "a day written year-month-day, such as 2026-03-31")
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
	default:
		p.readScalar(node, into, path)
	}
}

func (p *reader) readList(node *yaml.Node, into reflect.Value, path string, depth int) {
	if node.Kind != yaml.SequenceNode {
		if groups, ok := into.Addr().Interface().(*[]record.Group); ok && node.Kind == yaml.ScalarNode {
			p.readGroups(node, groups, path)
			return
		}
		want := "a list, each item on a line of its own behind a hyphen"
		if node.Kind == yaml.ScalarNode && into.Type().Elem().Kind() != reflect.Struct {
			want = "a list: [" + node.Value + "]"
		}
		p.refuse(path, node, valueOf(node), want)
		return
	}
	if len(node.Content) > mostItems {
		p.refuse(path, node, fmt.Sprintf("a list of %d", len(node.Content)), fmt.Sprintf("%d at most", mostItems))
		return
	}
	into.Set(reflect.MakeSlice(into.Type(), len(node.Content), len(node.Content)))
	for i, item := range node.Content {
		p.read(item, into.Index(i), fmt.Sprintf("%s[%d]", path, i), depth+1)
	}
}

// mostGroups bounds how many groups a number stands for; a machine has four.
const mostGroups = 4

// readGroups takes a number in place of a list of groups: so many, as the machine's layout
// usually has them.
func (p *reader) readGroups(node *yaml.Node, into *[]record.Group, path string) {
	n, err := strconv.Atoi(node.Value)
	if err != nil || n < 1 || n > mostGroups {
		p.refuse(path, node, node.Value, fmt.Sprintf("a number from 1 to %d, or a list of groups, each on a line of its own behind a hyphen", mostGroups))
		return
	}
	*into = make([]record.Group, n) // each as usual: see schedule.Setup.Filled
}

func (p *reader) readScalar(node *yaml.Node, into reflect.Value, path string) {
	if node.Kind != yaml.ScalarNode {
		p.refuse(path, node, valueOf(node), "a single value")
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
			p.refuse(path, node, node.Value, "true or false")
			return
		}
		into.SetBool(yes)
	case reflect.Float64:
		f, err := figure.Either.Read(node.Value)
		var refused *figure.ReadError
		switch {
		case errors.As(err, &refused) && refused.Why != "":
			p.refuse(path, node, node.Value, "a number; "+refused.Why)
			return
		case err != nil || f > 1e12 || f < -1e12:
			p.refuse(path, node, node.Value, "a number")
			return
		}
		into.SetFloat(f)
	default:
		p.broken = fmt.Errorf("%s: a place file cannot hold a %s", path, into.Kind())
	}
}

// readStruct reads a mapping. A name that it does not know is a mistake; where it is
// clear which was meant, what stands there is read as that.
func (p *reader) readStruct(node *yaml.Node, into reflect.Value, path string, depth int) {
	if node.Kind != yaml.MappingNode {
		p.refuse(path, node, valueOf(node), "fields with their values: "+strings.Join(slices.Sorted(maps.Keys(fieldsOf(into.Type()))), ", "))
		return
	}
	fields := fieldsOf(into.Type())
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
				want += elsewhere(name)
			}
			p.refuse(below, key, name, want)
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

// fieldsOf returns the names of a struct's fields in a file, with their index.
func fieldsOf(of reflect.Type) map[string]int {
	fields := map[string]int{}
	for i := range of.NumField() {
		name, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
		fields[name] = i
	}
	return fields
}

// elsewhere says where in a file a field of that name does stand, to follow a list of
// those that were possible; nothing where it stands nowhere.
func elsewhere(name string) string {
	var found []string
	var look func(of reflect.Type, path string)
	look = func(of reflect.Type, path string) {
		for of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice {
			of = of.Elem()
		}
		if of.Kind() != reflect.Struct {
			return
		}
		for field, i := range fieldsOf(of) {
			if field == name && path != "" {
				found = append(found, strings.TrimPrefix(path, "."))
			}
			look(of.Field(i).Type, path+"."+field)
		}
	}
	look(reflect.TypeFor[file](), "")
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

func pathName(path string) string {
	if path == "" {
		return "place file"
	}
	return path
}
