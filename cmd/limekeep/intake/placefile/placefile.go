// Package placefile reads the file in which an owner describes a place and its
// equipment, and tells all that is wrong in it at once, each with its line.
package placefile

import (
	"fmt"
	"io"
	"reflect"
	"strconv"

	"go.yaml.in/yaml/v3"

	"limekeep/cmd/limekeep/intake/yamlfile"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

// file is a place file as it is written.
type file struct {
	Place     record.Place       `json:"place"`
	Equipment []record.Equipment `json:"equipment"`
	Care      record.OwnCare     `json:"care"`
}

func (f file) setup() schedule.Setup {
	return schedule.Setup{Place: f.Place, Equipment: f.Equipment, Care: f.Care}
}

// Check is what a caller asks of a setup beside what it says of itself, such as that
// no day lies ahead. Fields are named as schedule.Setup.Validate names them.
type Check func(schedule.Setup) error

// kind is what a place file is.
func kind() yamlfile.Kind {
	return yamlfile.Kind{Name: "place file", Whole: "a place file as the README shows it", One: "a file describes one place", Of: reflect.TypeFor[file](), Most: 20_000, Short: readGroups}
}

// mostGroups bounds how many groups a number stands for; a machine has four.
const mostGroups = 4

// readGroups takes a number in place of a list of groups: so many, as the machine's layout
// usually has them.
func readGroups(p *yamlfile.Reader, node *yaml.Node, into any, path string) bool {
	groups, ok := into.(*[]record.Group)
	if !ok {
		return false
	}
	n, err := strconv.Atoi(node.Value)
	if err != nil || n < 1 || n > mostGroups {
		p.Refuse(path, node, node.Value, fmt.Sprintf("a number from 1 to %d, or a list of groups, each on a line of its own behind a hyphen", mostGroups))
		return true
	}
	*groups = make([]record.Group, n) // each as usual: see schedule.Setup.Filled
	return true
}

// Read reads a place file, fills in what may be left out, and checks it. What is
// wrong is told all at once: the error is a *record.FieldError or
// record.MistakesError, in the order of the lines, and each names its line.
func Read(r io.Reader, checks ...Check) (schedule.Setup, error) {
	root, err := rootOf(r)
	if err != nil {
		return schedule.Setup{}, err
	}
	p := newReader()
	setup := p.setup(root)
	p.check(setup, checks)
	if err := p.mistakes(); err != nil {
		return schedule.Setup{}, err
	}
	return setup, nil
}

// setup reads what stands in a file, and fills in what may be left out.
func (p reader) setup(root *yaml.Node) schedule.Setup {
	var f file
	p.Read(root, &f)
	fillWeeks(root, f.Equipment)
	return schedule.FillIn(f.setup())
}

// rootOf takes a file apart.
func rootOf(r io.Reader) (*yaml.Node, error) {
	data, err := kind().Bounded(r)
	if err != nil {
		return nil, err
	}
	root, err := kind().Parse(data)
	if err == nil && root == nil {
		return nil, &record.FieldError{Field: kind().Name, Want: kind().Whole}
	}
	return root, err
}
