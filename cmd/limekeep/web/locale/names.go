package locale

import (
	_ "embed" // the names are part of the program
	"fmt"
	"strings"
	"sync"
)

// names are the names of days and months in a language, and what it has between the
// parts of a date whose day stands first.
type names struct {
	days, wholeDays, letters  [7]string  // from Monday
	months, wholeMonths       [12]string // as they stand behind a day
	monthsAlone, wholeAlone   [12]string // as they stand before a year, without a day
	dayMonth, monthYear       string     // in a date with a short month
	wholeDayMonth, wholeYear  string     // in a date with a whole one
	aloneYear, wholeAloneYear string     // between a month and its year
}

// weekday is the name of a day, counted from 0.
func (n *names) weekday(day int, whole bool) string {
	if whole {
		return n.wholeDays[day]
	}
	return n.days[day]
}

// english is what pages are put together with.
var english = &names{
	days:      [7]string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"},
	wholeDays: [7]string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"},
	letters:   [7]string{"M", "T", "W", "T", "F", "S", "S"},
	months:    englishMonths, wholeMonths: englishWhole, monthsAlone: englishMonths, wholeAlone: englishWhole,
	dayMonth: " ", monthYear: " ", wholeDayMonth: " ", wholeYear: " ", aloneYear: " ", wholeAloneYear: " ",
}

var (
	englishMonths = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}
	englishWhole  = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}
)

//go:embed names.txt
var namesFile string

// namesOf returns the names of a language by its tag, in lower case.
var namesOf = sync.OnceValue(func() map[string]*names {
	all := map[string]*names{}
	for _, paragraph := range strings.Split(strings.TrimSpace(namesFile), "\n\n") {
		lines := strings.Split(paragraph, "\n")
		if strings.HasPrefix(paragraph, "#") {
			continue
		}
		n, between := &names{}, [6]string{}
		for i, into := range [][]string{n.days[:], n.wholeDays[:], n.letters[:], n.months[:], n.wholeMonths[:], n.monthsAlone[:], n.wholeAlone[:], between[:]} {
			if words := strings.Split(lines[min(i+1, len(lines)-1)], "|"); copy(into, words) != len(words) || len(words) != len(into) {
				panic(fmt.Sprintf("names of %s, line %d: %d of %d", lines[0], i+2, len(words), len(into))) // they are part of the program
			}
		}
		for i := range between {
			between[i] = strings.ReplaceAll(between[i], "_", " ")
		}
		n.dayMonth, n.monthYear, n.wholeDayMonth, n.wholeYear, n.aloneYear, n.wholeAloneYear = between[0], between[1], between[2], between[3], between[4], between[5]
		all[lines[0]] = n
	}
	all["no"] = all["nb"]
	return all
})
