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
		"who: {a: b}\n":                       `line 1: who: "fields" cannot be taken; give a single value`,
		"who: Anna\ndays: 5\n":                `line 2: days: "5" cannot be taken; give a list: [5]`,
		"stop_minutes: many\n":                `line 1: stop_minutes: "many" cannot be taken; give a number`,
		"licensed: perhaps\n":                 `line 1: licensed: "perhaps" cannot be taken; give true or false`,
		"minutes: [1]\n":                      `line 1: minutes: "a list" cannot be taken; give names with what belongs to each`,
		"hoo: Anna\n":                         `line 1: hoo: "hoo" cannot be taken; give one of the fields days, from`,
		"who: Anna\nwho: Ben\n":               `line 2: who: "who" cannot be taken; give each field once`,
		"places: {blue: {open: 8}}\n":         `line 1: places.blue.open: "8" cannot be taken; give a list: [8]`,
		"places:\n  blue:\n    shut: [Mon]\n": `line 3: places.blue.shut: "shut" cannot be taken; give one of the fields open, quiet`,
	} {
		_, err := Read(strings.NewReader(file))
		if err == nil || !strings.Contains(err.Error(), want) || library.MatchString(err.Error()) {
			t.Errorf("%q: %v, want %q", file, err, want)
		}
	}
}
