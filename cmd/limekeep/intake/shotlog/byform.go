package shotlog

import (
	"fmt"
	"strings"
)

// ByForm is how a form is filled in that has a field for each thing a log can leave open,
// and one for each column of the file.
type ByForm struct{}

// The words of a form's fields, each to stand where Ways says.
const (
	chosenBelow  = "the choice of columns below"
	notCounted   = "choose “passed over” for it below"
	byNotCounted = "by choosing “passed over” for it below"
)

// Columns names the fields of the columns.
func (ByForm) Columns() string { return chosenBelow }

// Name says which field is ours.
func (ByForm) Name(ours, _ string) string {
	return fmt.Sprintf("“%s” chosen below for the column that holds it", Called(ours))
}

// Naming says that the fields of the columns are meant.
func (ByForm) Naming() string { return "below" }

// Map says what is chosen for columns.
func (ByForm) Map(pairs ...string) string { return "choosing " + choices(pairs) }

// Tell says to choose it.
func (ByForm) Tell(pairs ...string) string { return "choose " + choices(pairs) }

func choices(pairs []string) string {
	var all []string
	for i := 0; i+1 < len(pairs); i += 2 {
		all = append(all, fmt.Sprintf("“%s” for the column “%s”", Called(pairs[i]), pairs[i+1]))
	}
	return strings.Join(all, " and ") + " below"
}

// PassOver says what to choose for a column that does not count.
func (ByForm) PassOver(string) string { return byNotCounted }

// PassNameless says the same of a column without a name.
func (ByForm) PassNameless() string { return notCounted }

// DateOrder names the field of the order of dates.
func (ByForm) DateOrder() string { return "the order of day and month below" }

// YearPlace names the same field.
func (ByForm) YearPlace() string { return "the order of dates below" }

// Epoch says to fill in the same field.
func (ByForm) Epoch() string { return "say below from which year the numbers of its days count" }

// Decimal names the field of the decimal mark.
func (ByForm) Decimal() string { return "what parts decimals, below" }

// Doses says to fill in the field of the doses.
func (ByForm) Doses() string { return "say below what dose and yield are of" }

// HabitDose says to tick the box of the habit's dose.
func (ByForm) HabitDose() string {
	return "tick below that the habit’s dose is taken where none stands"
}

// AsWritten says to tick the box of what is unusual.
func (ByForm) AsWritten() string { return "tick below that it is taken as it stands" }

// Choices lists what a column can be taken for, by the name that Options.Mapped has for
// it, each with words for people.
func Choices() (names, words []string) {
	for _, name := range columnNames() {
		names, words = append(names, name), append(words, Called(name))
	}
	return names, words
}

// called are the words for columns.
var called = map[string]string{
	"date": "date, with or without a time", "time": "time of day", "shots": "shots", "dose_g": "dose, g", "yield_g": "yield, g", "ratio": "ratio of yield to dose", "seconds": "seconds",
	"steamed": "steamed milk", "hot_water_l": "hot water, litres", "hot_water_ml": "hot water, ml", "grind": "grinder setting", "drink": "drink", "beans": "beans", "note": "note",
}

// Called returns the words for a column.
func Called(name string) string {
	if words := called[name]; words != "" {
		return words
	}
	return name
}
