package placefile

import (
	"bytes"
	"encoding"
	"fmt"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v3"

	"limekeep/schedule"
)

// Write writes a setup as a place file with a comment beside whatever can have one.
// Read gives the same setup again. assumed are sentences for the head of the file.
func Write(s schedule.Setup, assumed []string) ([]byte, error) {
	head := "A place file: change what is not so, add what you find out, and apply it again.\nAn id stays as it is: history hangs on it."
	if len(assumed) > 0 {
		head += "\nAssumed, since nobody said:\n- " + strings.Join(assumed, "\n- ")
	}
	root, err := nodeOf(reflect.ValueOf(file{Place: s.Place, Equipment: s.Equipment, Care: s.Care}))
	if err != nil {
		return nil, err
	}
	document := &yaml.Node{Kind: yaml.DocumentNode, Content: []*yaml.Node{root}, HeadComment: head}
	var b bytes.Buffer
	encoder := yaml.NewEncoder(&b)
	encoder.SetIndent(2)
	if err := encoder.Encode(document); err != nil {
		return nil, err
	}
	return b.Bytes(), encoder.Close()
}

// fieldComments says what fields are, by name; those that explain themselves have none.
var fieldComments = map[string]string{
	"group": "chain or customer", "water_district": "the main that its water comes from", "serial": "on its plate",
	"zone": "name in the IANA time zone database", "when": "minute hour day month weekday", "minutes": "how long there is",
	"bought": "the day it came to you", "made": "the day it was made, where it came used", "used": "it was not new when it came",
	"looked_after": "up to here all that is done at least once a year counts as done", "setting": "home or bar: limits differ",
	"layout": "one boiler, two boilers, heat exchanger, thermoblock or lever", "water_line": "id of its water line, or the line itself",
	"kind": "as in the README", "three_way_valve": "false where the group drips on after the shot", "weekday_shots": "a day, Monday to Friday",
	"weekend_shots": "a day, Saturday and Sunday", "steamed_share": "share of the shots with steamed milk", "hot_water_litres": "drawn from the steam boiler a day", "supply": "mains or tank",
	"fitted": "the day this cartridge went in", "rated_litres": "what its maker says it treats", "rated_hardness_dh": "at this hardness, German degrees",
	"months": "age limit", "drive": "hand or motor", "burr_geometry": "conical or flat", "burr_diameter_mm": "measure it, or look it up", "serves": "it grinds every shot of these",
}

// nodeOf makes the node of a value; nil for one that may be left out.
func nodeOf(v reflect.Value) (*yaml.Node, error) {
	if text, ok := v.Interface().(encoding.TextMarshaler); ok {
		if v.IsZero() {
			return nil, nil
		}
		b, err := text.MarshalText()
		return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!timestamp", Value: string(b)}, err
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return nil, nil
		}
		node, err := nodeOf(v.Elem())
		if node == nil && err == nil { // said to be nothing, or without anything in it
			node = &yaml.Node{}
			err = node.Encode(v.Elem().Interface())
			if v.Elem().Kind() == reflect.Struct {
				node = &yaml.Node{Kind: yaml.MappingNode, Style: yaml.FlowStyle}
			}
		}
		return node, err
	case reflect.Slice:
		if v.Len() == 0 {
			return nil, nil
		}
		list := &yaml.Node{Kind: yaml.SequenceNode}
		if k := v.Type().Elem().Kind(); k == reflect.String {
			list.Style = yaml.FlowStyle
		}
		for i := range v.Len() {
			item, err := nodeOf(v.Index(i))
			if err != nil {
				return nil, err
			}
			if item == nil {
				item = &yaml.Node{Kind: yaml.MappingNode, Style: yaml.FlowStyle}
			}
			list.Content = append(list.Content, item)
		}
		return list, nil
	case reflect.Struct:
		return mappingOf(v)
	case reflect.String, reflect.Bool, reflect.Float64:
		if v.IsZero() {
			return nil, nil
		}
		node := &yaml.Node{}
		return node, node.Encode(v.Interface())
	}
	return nil, fmt.Errorf("a place file cannot hold a %s", v.Kind())
}

func mappingOf(v reflect.Value) (*yaml.Node, error) {
	mapping := &yaml.Node{Kind: yaml.MappingNode}
	for i := range v.NumField() {
		name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		value, err := nodeOf(v.Field(i))
		if err != nil {
			return nil, err
		}
		if value == nil && saysNought(v.Interface(), name) {
			value = &yaml.Node{Kind: yaml.ScalarNode, Value: "0"}
		}
		if value == nil {
			continue
		}
		if value.Kind == yaml.ScalarNode || value.Style == yaml.FlowStyle {
			value.LineComment = fieldComments[name]
		}
		mapping.Content = append(mapping.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: name}, value)
	}
	if len(mapping.Content) == 0 {
		return nil, nil
	}
	return mapping, nil
}
