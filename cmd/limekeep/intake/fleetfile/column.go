package fleetfile

import (
	"reflect"
	"slices"
	"strings"

	"limekeep/schedule/record"
)

// Column is a heading with the fields of a place that its cells stand for.
type Column struct {
	Heading string
	Fields  []string // as placefile.Value names them
}

const (
	idField   = "place.id"
	nameField = "place.name"
)

// headings are the words for what most tables have. Any other field of a place file is
// named by its way through the file: machine.habit.steamed_share, tap.treatment.filter.months.
var headings = []struct {
	words  []string // the first is what tables of ours have
	fields []string
}{
	{[]string{"place", "id"}, []string{idField}},
	{[]string{"name"}, []string{nameField}},
	{[]string{"zone", "time zone"}, []string{"place.zone"}},
	{[]string{"address"}, []string{"place.address"}},
	{[]string{"group", "chain", "customer"}, []string{"place.group"}},
	{[]string{"water district", "district"}, []string{"place.water_district"}},
	{[]string{"machine", "machine name"}, []string{"machine.name"}},
	{[]string{"serial", "serial number", "machine serial"}, []string{"machine.serial"}},
	{[]string{"bought", "machine bought"}, []string{"machine.bought"}},
	{[]string{"made", "machine made"}, []string{"machine.made"}},
	{[]string{"used"}, []string{"machine.used"}},
	{[]string{"shots", "shots a day"}, []string{"machine.habit.weekday_shots", "machine.habit.weekend_shots"}},
	{[]string{"weekday shots"}, []string{"machine.habit.weekday_shots"}},
	{[]string{"weekend shots"}, []string{"machine.habit.weekend_shots"}},
	{[]string{"steamed share"}, []string{"machine.habit.steamed_share"}},
	{[]string{"hot water litres"}, []string{"machine.habit.hot_water_litres"}},
	{[]string{"hot hours"}, []string{"machine.habit.hot_hours"}},
	{[]string{"grinder", "grinder name"}, []string{"grinder.name"}},
	{[]string{"grinder serial"}, []string{"grinder.serial"}},
	{[]string{"supply"}, []string{"water.supply"}},
	{[]string{"cartridge fitted", "cartridge", "fitted"}, []string{"cartridge.fitted"}},
	{[]string{"bypass share"}, []string{"cartridge.bypass_share"}},
}

// Headings lists the words that tables of ours have.
func Headings() []string {
	all := make([]string, len(headings))
	for i, h := range headings {
		all[i] = h.words[0]
	}
	return all
}

// FieldOf returns the field that a heading stands for first; empty for none.
func FieldOf(heading string) string {
	c, err := columnOf(heading)
	if err != nil {
		return ""
	}
	return c.Fields[0]
}

// columnOf reads a heading; capitals, and what parts its words, do not matter.
func columnOf(heading string) (Column, error) {
	c := Column{Heading: heading}
	word := strings.Join(strings.FieldsFunc(strings.ToLower(heading), func(r rune) bool { return r == ' ' || r == '_' || r == '-' }), " ")
	var known []string
	for _, h := range headings {
		known = append(known, h.words[0])
		if slices.Contains(h.words, word) {
			c.Fields = h.fields
			return c, nil
		}
	}
	if field := strings.ReplaceAll(word, " ", "_"); word != "" && !strings.Contains(field, ".") {
		of := reflect.TypeFor[record.Place]()
		for i := range of.NumField() {
			if name, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ","); name == field {
				c.Fields = []string{"place." + name}
				return c, nil
			}
		}
	}
	if strings.Contains(heading, ".") && !strings.HasPrefix(heading, ".") && !strings.HasSuffix(heading, ".") {
		c.Fields = []string{heading}
		return c, nil
	}
	return c, &record.FieldError{Value: heading, Want: "a heading for each column: the way to a field of a place file, such as machine.habit.dose_grams, or one of " + record.OneOf(heading, known)}
}

func headingsOf(columns []Column) []string {
	all := make([]string, len(columns))
	for i, c := range columns {
		all[i] = c.Heading
	}
	return all
}
