package placeform

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// writer writes what is known of equipment into fields.
type writer struct {
	equipment record.Equipment
	around    Around
}

// reader reads them back.
type reader struct {
	form *form.Form
	id   string // of the equipment, with which errors begin
}

// inputName is the name of the input of a field within a thing.
func inputName(prefix, field string) string {
	if prefix == "" {
		return field
	}
	return prefix + "-" + field
}

// fields writes values into fields, in an order. A value is of the field's own type,
// which says how it is filled in.
func (w writer) fields(prefix, of string, values map[string]any, order ...string) []form.Field {
	var all []form.Field
	for _, name := range order {
		key := of + "." + name
		says := wording.OfField(key)
		f := form.Field{Name: inputName(prefix, name), Label: says.Label, Hint: says.Hint, Measure: measures[key]}
		switch v := values[name].(type) {
		case bool:
			f.Kind, f.Value = form.BoxInput, yes(v)
		case float64:
			f.Kind, f.Value = form.NumberInput, plain(v)
		case *float64:
			f.Kind = form.NumberInput
			if v != nil {
				f.Value = plainOrZero(*v)
			}
		case record.Date:
			f.Kind = form.DateInput
			if !v.IsZero() {
				f.Value = v.String()
			}
		case []string:
			f.Kind, f.Value = form.NoteInput, strings.Join(v, "\n")
		default:
			f.Value = reflect.ValueOf(v).String()
			f.Kind, f.Choices = form.LineInput, w.choices(key, v)
			if len(f.Choices) > 0 {
				f.Kind = form.ChoiceInput
			}
		}
		all = append(all, f)
	}
	return all
}

// measures are the figures that an owner may want in another unit than records have.
var measures = map[string]form.Measure{
	"Vessel.litres": form.FewLitres, "Habit.hot_water_litres": form.FewLitres, "Drink.hot_water_litres": form.FewLitres, "Treatment.rated_litres": form.Litres,
	"Vessel.celsius": form.Celsius, "Group.seal_celsius": form.Celsius, "Treatment.rated_hardness_dh": form.GermanDegree,
}

func plainOrZero(x float64) string {
	if x == 0 {
		return "0"
	}
	return plain(x)
}

// choices lists what can be chosen for a field; nothing where a line is written.
func (w writer) choices(key string, v any) []form.Choice {
	var all []form.Choice
	switch {
	case key == "Machine.water_line":
		all = slices.Clone(w.around.Lines)
	case key == "OwnTask.equipment":
		all = slices.Clone(w.around.All)
	case key == "Vessel.material":
		all = wordChoices(key, record.VesselMaterials())
	case key == "Group.gasket":
		all = wordChoices(key, record.SealMaterials())
	case key == "OwnTask.driver":
		all = wordChoices(key, record.OwnDrivers())
	default:
		if words, ok := v.(interface{ Choices() []string }); ok {
			all = wordChoices(key, words.Choices())
		} else if all = w.choicesOf(v); all == nil {
			return nil
		}
	}
	if blank := wording.OfField(key).Blank; blank != "" {
		all = append([]form.Choice{{Label: blank}}, all...)
	} else if reflect.ValueOf(v).String() == "" && len(all) > 0 {
		all = append([]form.Choice{{Label: wording.ChooseOne}}, all...)
	}
	return all
}

func wordChoices(key string, words []string) []form.Choice {
	var all []form.Choice
	for _, word := range words {
		label := wording.OfChoice(key + "/" + word)
		if label == "" {
			label = word
		}
		all = append(all, form.Choice{Value: word, Label: label})
	}
	return all
}

// into reads fields into what values point at. At is where they stand within the
// equipment, as errors have it.
func (r reader) into(prefix, at string, values map[string]any) {
	for name, v := range values {
		input := inputName(prefix, name)
		if r.form.Find(input) == nil {
			continue // the form does not ask for it
		}
		path := name
		if at != "" {
			path = at + "." + name
		}
		r.form.Call(input, r.id+"."+path)
		switch v := v.(type) {
		case *bool:
			*v = r.form.Ticked(input)
		case *float64:
			*v = r.form.Number(input)
		case **float64:
			*v = nil
			if r.form.Text(input) != "" {
				x := r.form.Number(input)
				*v = &x
			}
		case *record.Date:
			*v = r.form.Date(input)
		case *[]string:
			*v = lines(r.form.Text(input))
		default:
			reflect.ValueOf(v).Elem().SetString(r.form.Text(input))
		}
	}
}

func lines(text string) []string {
	var all []string
	for line := range strings.SplitSeq(text, "\n") {
		if line = strings.TrimSpace(line); line != "" {
			all = append(all, line)
		}
	}
	return all
}

// mostListed is how many things of a sort a form reads.
const mostListed = 50

// list writes things of a sort, each under a heading of its own with a box to take it
// away, and one more that is added where its box is ticked.
func list[T any](name string, items []T, another string, fields func(prefix string, item T, fresh bool) (title string, row []form.Field)) []form.Field {
	var all []form.Field
	for i, item := range items {
		prefix := fmt.Sprintf("%s-%d", name, i)
		title, row := fields(prefix, item, false)
		row = append(row, form.Field{Name: prefix + "-off", Label: wording.TakeThisAway, Kind: form.BoxInput})
		all = append(all, form.Field{Label: title, Kind: form.SectionInput, Folded: true, Row: row})
	}
	var none T
	prefix := fmt.Sprintf("%s-%d", name, len(items))
	_, row := fields(prefix, none, true)
	add := form.Field{Name: prefix + "-add", Label: wording.AddThis, Kind: form.BoxInput}
	return append(all, form.Field{Label: another, Kind: form.SectionInput, Folded: true, Row: append([]form.Field{add}, row...)})
}

// readList reads them back: those that were there and are not taken away, and the one
// that was added.
func readList[T any](r *reader, name, at string, was []T, read func(prefix, at string, item *T)) []T {
	var all []T
	for i := range min(len(was)+1, mostListed) {
		prefix := fmt.Sprintf("%s-%d", name, i)
		var item T
		if i < len(was) {
			if item = was[i]; r.form.Ticked(prefix + "-off") {
				continue
			}
		} else if !r.form.Ticked(prefix + "-add") {
			continue
		}
		read(prefix, fmt.Sprintf("%s[%d]", at, len(all)), &item)
		all = append(all, item)
	}
	return all
}

// What is said of a part that equipment may have.
const (
	hasIt   = "has"
	lacksIt = "lacks"
)

func fittingName(f record.Fitting) string { return "part-" + strings.ReplaceAll(string(f), " ", "-") }

// fittings asks of each part whether it is there.
func fittings(known, has, lacks []record.Fitting) []form.Field {
	var all []form.Field
	for _, f := range known {
		field := form.Field{Name: fittingName(f), Label: capital(string(f)), Kind: form.ChoiceInput, Choices: []form.Choice{
			{Label: wording.AsUsual}, {Value: hasIt, Label: wording.ItHasOne}, {Value: lacksIt, Label: wording.ItHasNone},
		}}
		switch {
		case slices.Contains(has, f):
			field.Value = hasIt
		case slices.Contains(lacks, f):
			field.Value = lacksIt
		}
		all = append(all, field)
	}
	return all
}

func (r reader) fittings(known []record.Fitting) (has, lacks []record.Fitting) {
	for _, f := range known {
		switch r.form.Text(fittingName(f)) {
		case hasIt:
			has = append(has, f)
		case lacksIt:
			lacks = append(lacks, f)
		}
	}
	return has, lacks
}

// ticked returns what of the boxes whose names begin alike is ticked.
func (r reader) ticked(prefix, about string) []string {
	var all []string
	for f := range r.form.Inputs() {
		id, ok := strings.CutPrefix(f.Name, prefix)
		if !ok {
			continue
		}
		if len(all) == 0 {
			f.About = append(f.About, r.id+"."+about)
		}
		if f.Value == "yes" {
			all = append(all, id)
		}
	}
	return all
}
