package roundfile

import (
	"regexp"
	"strings"
	"testing"
)

// What a file is wrong with is told in our words, with the line.
func TestWrongFilesAreToldInWords(t *testing.T) {
	library := regexp.MustCompile(`yaml|unmarshal|!!|type |struct|found character|roundfile`)
	for file, want := range map[string]string{
		"who: {a: b}\n":                       `line 1: fields with their values cannot be taken; give a text`,
		"who: Anna\ndays: 5\n":                `line 2: "5" cannot be taken; give a list, such as ["MON-FRI 08:00-17:00"]`,
		"stop_minutes: many\n":                `line 1: "many" cannot be taken; give a number`,
		"licensed: perhaps\n":                 `line 1: "perhaps" cannot be taken; give true or false`,
		"minutes: [1]\n":                      `line 1: a list cannot be taken; give fields with their values`,
		"hoo: Anna\n":                         `line 1: there is no field "hoo"`,
		"who: Anna\nwho: Ben\n":               `line 2: "who" stands in line 1 already`,
		"places: {blue: {open: 8}}\n":         `line 1: "8" cannot be taken; give a list`,
		"places:\n  blue:\n    shut: [Mon]\n": `line 3: there is no field "shut"`,
	} {
		_, err := Read(strings.NewReader(file))
		if err == nil || !strings.Contains(err.Error(), want) || library.MatchString(err.Error()) {
			t.Errorf("%q: %v, want %q", file, err, want)
		}
	}
}
