package roundfile

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"go.yaml.in/yaml/v3"
)

var (
	otherKind = regexp.MustCompile("^line (\\d+): cannot unmarshal !!(\\w+)(?: `(.*)`)? into (.*)$")
	noField   = regexp.MustCompile(`^line (\d+): field (.*) not found in type \S+$`)
	twice     = regexp.MustCompile(`^line (\d+): mapping key "(.*)" already defined at line (\d+)$`)
)

// inWords tells in our words what the reader of YAML says is wrong with a file.
func inWords(err error) error {
	var wrong *yaml.TypeError
	if !errors.As(err, &wrong) {
		return fmt.Errorf("it is no round file as the README shows one: %s", strings.TrimPrefix(err.Error(), "yaml: "))
	}
	said := make([]string, len(wrong.Errors))
	for i, e := range wrong.Errors {
		said[i] = e
		if m := otherKind.FindStringSubmatch(e); m != nil {
			said[i] = fmt.Sprintf("line %s: %s cannot be taken; give %s", m[1], thing(m[2], m[3]), kind(m[4]))
		} else if m := noField.FindStringSubmatch(e); m != nil {
			said[i] = fmt.Sprintf("line %s: there is no field %q", m[1], m[2])
		} else if m := twice.FindStringSubmatch(e); m != nil {
			said[i] = fmt.Sprintf("line %s: %q stands in line %s already", m[1], m[2], m[3])
		}
	}
	return fmt.Errorf("it is no round file as the README shows one: %s", strings.Join(said, "; "))
}

// thing names what stands in a file.
func thing(tag, value string) string {
	switch {
	case tag == "map":
		return "fields with their values"
	case tag == "seq":
		return "a list"
	}
	return fmt.Sprintf("%q", value)
}

// kind names what should stand there, by the type of its field.
func kind(of string) string {
	switch {
	case strings.HasPrefix(of, "[]"):
		return "a list, such as [\"MON-FRI 08:00-17:00\"]"
	case of == "string":
		return "a text"
	case of == "bool":
		return "true or false"
	case strings.HasPrefix(of, "float"):
		return "a number"
	}
	return "fields with their values"
}
