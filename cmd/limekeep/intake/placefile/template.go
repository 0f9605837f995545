package placefile

import (
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"limekeep/cmd/limekeep/intake/yamlfile"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

// Template is a place file that stands for many places: With puts what is true of one of
// them in its place. It does not change, and may be used by several at once.
type Template struct{ root *yaml.Node }

// Value is what stands in a field of one place. The field is named by its way through the
// file, parted by dots: place and the name of a field of the place, or the id of a piece of
// equipment and a field of that, such as place.name, machine.serial,
// machine.habit.weekday_shots or tap.treatment.filter.fitted. What is in a list is named by
// its id, or by its number from 1. In place of an id stand machine, grinder, water and
// tools for the only one there is, and cartridge for the only cartridge.
type Value struct{ Field, Text string }

// Put is a value with what stood in its field before; nothing where it was left out.
type Put struct {
	Value
	Was string
}

// ReadTemplate takes a template apart. What is wrong with it is told by With, since it
// need not be a whole place.
func ReadTemplate(r io.Reader) (*Template, error) {
	root, err := rootOf(r)
	if err != nil {
		return nil, err
	}
	return &Template{root}, nil
}

// TemplateOf makes a template of a place as it stands.
func TemplateOf(s schedule.Setup) (*Template, error) {
	root, err := nodeOf(reflect.ValueOf(file{Place: s.Place, Equipment: s.Equipment, Care: s.Care}))
	if err != nil {
		return nil, err
	}
	return &Template{root}, nil
}

// With returns the place that the template is with some values in it, as Read does, and
// what stood there before. Mistakes in a value are called by the value's field and have no
// line; those of the template by their own name, with their line in it.
func (t *Template) With(values []Value, checks ...Check) (schedule.Setup, []Put, error) {
	p := newReader()
	root, puts := t.root, make([]Put, 0, len(values))
	fieldAt := map[string]string{} // of a value, by where it stands in the file
	var wrong []error
	for _, v := range values {
		w := writing{text: v.Text}
		next, err := w.into(root, v.Field)
		if err != nil {
			wrong = append(wrong, &record.FieldError{Field: v.Field, Value: v.Text, Want: "a field that the place has: " + err.Error()})
			continue
		}
		root = next
		puts = append(puts, Put{Value: v, Was: w.was})
		fieldAt[strings.TrimPrefix(w.path, ".")] = v.Field
	}
	setup := p.setup(root)
	p.check(setup, checks)
	told := record.EachMistake(p.mistakes(), func(m record.FieldError) record.FieldError {
		for path := m.Field; path != ""; path = path[:max(strings.LastIndexAny(path, ".["), 0)] {
			if field, ok := fieldAt[path]; ok {
				m.Field, m.Line = field, 0
				break
			}
		}
		return m
	})
	if err := record.AllOf(append(wrong, told)...); err != nil {
		return schedule.Setup{}, nil, err
	}
	return setup, puts, nil
}

// writing puts a text into a tree of nodes. What lies on the way is copied, so that the
// tree that was there stays as it is.
type writing struct {
	text string
	path string // that was gone, as mistakes name it
	was  string
}

// wayError says why a field is not there.
type wayError string

func (n wayError) Error() string { return string(n) }

// into returns the tree with the text in a field.
func (w *writing) into(root *yaml.Node, field string) (*yaml.Node, error) {
	first, rest, _ := strings.Cut(field, ".")
	if rest == "" {
		return nil, wayError("place and a field of it, or an id of equipment and a field of that, parted by dots")
	}
	steps := strings.Split(rest, ".")
	if first == "place" {
		return w.below(root, append([]string{"place"}, steps...))
	}
	way, err := wayTo(root, first, steps[0])
	if err != nil {
		return nil, err
	}
	return w.below(root, append(way, steps...))
}

// kinds are the names of equipment's kinds in a place file, by the word for the only one.
var kinds = map[string]string{"machine": "machine", "grinder": "grinder", waterWord: "water_line", "tools": "tools"}

const (
	waterWord     = "water"
	cartridgeWord = "cartridge"
)

// wayTo returns the steps to a piece of equipment, or into what it is where the field that
// comes next stands there.
func wayTo(root *yaml.Node, name, next string) ([]string, error) {
	list := plain(member(root, "equipment"))
	if list == nil || list.Kind != yaml.SequenceNode {
		return nil, wayError("it has no equipment")
	}
	var ids []string
	var only []int // of the kind
	var stages []string
	at := -1
	for i, item := range list.Content {
		item = plain(item)
		id := textOf(member(item, "id"))
		ids = append(ids, id)
		if id == name && at < 0 {
			at = i
		}
		if kind := kinds[name]; kind != "" && member(item, kind) != nil {
			only = append(only, i)
		}
		if treatment := plain(member(plain(member(item, "water_line")), "treatment")); treatment != nil {
			for k, stage := range treatment.Content {
				if textOf(member(plain(stage), "kind")) != string(record.ReverseOsmosis) {
					stages = append(stages, fmt.Sprintf("%d.water_line.treatment.%d", i+1, k+1))
				}
			}
		}
	}
	switch {
	case at < 0 && name == cartridgeWord && len(stages) == 1:
		return append([]string{"equipment"}, strings.Split(stages[0], ".")...), nil
	case at < 0 && name == cartridgeWord:
		return nil, wayError(fmt.Sprintf("it has %d cartridges", len(stages)))
	case at < 0 && len(only) == 1:
		at = only[0]
	case at < 0 && len(only) > 1:
		return nil, wayError(fmt.Sprintf("there is more than one; name it by its id: %s", record.OneOf(name, ids)))
	case at < 0:
		return nil, wayError("equipment " + strconv.Quote(name) + " is not there; there is " + record.OneOf(name, ids))
	}
	way := []string{"equipment", strconv.Itoa(at + 1)}
	kindNames := []string{"machine", "grinder", "water_line", "tools"}
	if _, own := yamlfile.FieldsOf(reflect.TypeFor[record.Equipment]())[next]; own && !slices.Contains(kindNames, next) {
		return way, nil
	}
	for _, kind := range kindNames {
		if member(plain(list.Content[at]), kind) != nil && next != kind {
			way = append(way, kind)
		}
	}
	return way, nil
}

// below returns a node with the text at the end of some steps.
func (w *writing) below(node *yaml.Node, steps []string) (*yaml.Node, error) {
	node = plain(node)
	if len(steps) == 0 {
		if node != nil && node.Kind != yaml.ScalarNode {
			return nil, wayError("a single value, not all that stands below " + strings.TrimPrefix(w.path, "."))
		}
		w.was = textOf(node)
		return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: w.text}, nil
	}
	var copied yaml.Node
	if node != nil {
		copied = *node
	}
	if node == nil || node.Kind == yaml.ScalarNode && node.Tag == "!!null" {
		copied = yaml.Node{Kind: yaml.MappingNode}
	}
	copied.Content = slices.Clone(copied.Content)
	at := -1
	switch copied.Kind {
	case yaml.SequenceNode:
		var ids []string
		for i, item := range copied.Content {
			id := textOf(member(plain(item), "id"))
			ids = append(ids, id)
			if at < 0 && (id != "" && id == steps[0] || strconv.Itoa(i+1) == steps[0]) {
				at = i
			}
		}
		if at < 0 {
			return nil, wayError("in " + strings.TrimPrefix(w.path, ".") + " there is no " + strconv.Quote(steps[0]) + "; there is " + record.OneOf(steps[0], ids))
		}
		w.path += fmt.Sprintf("[%d]", at)
	case yaml.MappingNode:
		w.path += "." + steps[0]
		for i := 0; i+1 < len(copied.Content); i += 2 {
			if copied.Content[i].Value == steps[0] {
				at = i + 1
			}
		}
		if at < 0 {
			copied.Content = append(copied.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: steps[0]}, nil)
			at = len(copied.Content) - 1
		}
	default:
		return nil, wayError(strings.TrimPrefix(w.path, ".") + " is a single value")
	}
	below, err := w.below(copied.Content[at], steps[1:])
	copied.Content[at] = below
	return &copied, err
}

// plain returns what an alias stands for.
func plain(node *yaml.Node) *yaml.Node {
	if node != nil && node.Kind == yaml.AliasNode {
		return node.Alias
	}
	return node
}

// member returns what stands in a mapping under a name; nil for nothing.
func member(node *yaml.Node, name string) *yaml.Node {
	if node == nil || node.Kind != yaml.MappingNode {
		return nil
	}
	for i := 0; i+1 < len(node.Content); i += 2 {
		if node.Content[i].Value == name {
			return node.Content[i+1]
		}
	}
	return nil
}

// textOf returns what stands in a scalar; nothing for what is none.
func textOf(node *yaml.Node) string {
	if node = plain(node); node == nil || node.Kind != yaml.ScalarNode || node.Tag == "!!null" {
		return ""
	}
	return node.Value
}
