package shotlog

import (
	"fmt"
	"strings"
)

// ByMembers is how a program is told that sends a log with members of JSON beside it,
// named as the options of an import are.
type ByMembers struct{}

// Columns names the member of the columns.
func (ByMembers) Columns() string { return "columns" }

// Naming says that it names columns.
func (ByMembers) Naming() string { return "in columns" }

// Name shows it.
func (b ByMembers) Name(ours, example string) string { return b.Map(ours, example) }

// Map shows it with what columns are.
func (ByMembers) Map(pairs ...string) string {
	var all []string
	for i := 0; i+1 < len(pairs); i += 2 {
		all = append(all, fmt.Sprintf("%q: %q", pairs[i], pairs[i+1]))
	}
	return "columns {" + strings.Join(all, ", ") + "}"
}

// Tell says to give it.
func (b ByMembers) Tell(pairs ...string) string { return "give " + b.Map(pairs...) }

// PassOver shows the member of what is passed over.
func (ByMembers) PassOver(name string) string {
	if name == "" {
		return "with ignore"
	}
	return fmt.Sprintf("with ignore [%q]", name)
}

// PassNameless shows the same of a column without a name.
func (ByMembers) PassNameless() string { return `ignore ["*"] to pass it over` }

// DateOrder shows the member of the order of dates.
func (ByMembers) DateOrder() string { return `dates "day-first" or "month-first"` }

// YearPlace names it.
func (ByMembers) YearPlace() string { return "dates" }

// Epoch shows it for numbers of days.
func (ByMembers) Epoch() string { return `dates "serial-1900" or "serial-1904"` }

// Decimal shows the member of the decimal mark.
func (ByMembers) Decimal() string { return `decimal "point" or "comma"` }

// Doses shows the member of the doses.
func (ByMembers) Doses() string { return `doses "each" or "together"` }

// HabitDose shows the member of the habit's dose.
func (ByMembers) HabitDose() string {
	return "habit_dose true to take the habit's dose where none stands"
}

// AsWritten shows the member of what is unusual.
func (ByMembers) AsWritten() string { return "as_written true takes it as it stands" }
