package say_test

import (
	"testing"

	"limekeep/schedule/say"
)

// A name that says no more than the kind of a piece is left away.
func TestOfTask(t *testing.T) {
	for _, c := range []struct{ title, name, want string }{
		{"Take stock of the machine", "machine", "Take stock of the machine"},
		{"Test the water", "water", "Test the water"},
		{"Clean the burrs", "", "Clean the burrs"},
		{"Clean the burrs", "Old lady", "Clean the burrs, Old lady"},
		{"Clean the burrs", "machine-2", "Clean the burrs, machine-2"},
	} {
		if got := say.OfTask(c.title, c.name); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
