package shotlog

import (
	"fmt"
	"strings"
)

// Ways say how whoever brings a log answers what it leaves open. Messages hold their
// words, so that each door says what can be done there.
type Ways interface {
	Columns() string                  // what errors about the columns that were told call them
	Naming() string                   // how columns are told: "name it …"
	Name(ours, example string) string // to say which column is ours, with an example of the file's name for it
	Map(pairs ...string) string       // taking columns of the file, each behind ours, for those
	Tell(pairs ...string) string      // to take them for those, as an order
	PassOver(name string) string      // how to pass over a column of the file, "" for the one spoken of: "pass it over …"
	PassNameless() string             // to pass over a column without a name
	DateOrder() string                // whether the day or the month stands first
	YearPlace() string                // where the year stands
	Epoch() string                    // to say from which year a spreadsheet counts
	Decimal() string                  // what parts decimals
	Doses() string                    // to say what doses are of
	HabitDose() string                // to take the habit's dose
	AsWritten() string                // to take what is unusual as it stands
}

// byFlags is how a command is told, which is what a log says where nothing else is
// asked for.
type byFlags struct{}

func (byFlags) Columns() string { return "--map" }
func (byFlags) Naming() string  { return "with --map" }

func (byFlags) Name(ours, example string) string { return fmt.Sprintf("--map %s=%s", ours, example) }

func (byFlags) Map(pairs ...string) string {
	var all []string
	for i := 0; i+1 < len(pairs); i += 2 {
		all = append(all, pairs[i]+"="+pairs[i+1])
	}
	return fmt.Sprintf("--map '%s'", strings.Join(all, ","))
}

func (f byFlags) Tell(pairs ...string) string { return "pass " + f.Map(pairs...) }

func (byFlags) PassOver(name string) string {
	if name == "" {
		return "with --ignore"
	}
	return fmt.Sprintf("with --ignore '%s'", name)
}

func (byFlags) PassNameless() string { return "--ignore '*' to pass it over" }

func (byFlags) DateOrder() string { return "--dates day-first or --dates month-first" }
func (byFlags) YearPlace() string { return "--dates" }
func (byFlags) Epoch() string     { return "--dates serial-1900 or --dates serial-1904" }
func (byFlags) Decimal() string   { return "--decimal point or --decimal comma" }
func (byFlags) Doses() string     { return "--doses each or --doses together" }
func (byFlags) HabitDose() string { return "--habit-dose to take the habit's dose where none stands" }
func (byFlags) AsWritten() string { return "--as-written takes it as it stands" }

// ways returns how the options are told.
func (o Options) ways() Ways {
	if o.Ways == nil {
		return byFlags{}
	}
	return o.Ways
}
