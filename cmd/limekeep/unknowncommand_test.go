package main

import "testing"

// A command that is none is said to be none, at any depth, with the one that was likely meant;
// what the shell's completion and help ask for is let through.
func TestUnknownCommand(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"due"}, ""},
		{[]string{"measure"}, ""},
		{[]string{"measure", "--help"}, ""},
		{[]string{"measure", "help"}, ""},
		{[]string{"help", "measure"}, ""},
		{[]string{"completion", "bash"}, ""},
		{[]string{"__complete", "du"}, ""},
		{[]string{"--version"}, ""},
		{[]string{"why", "polish"}, ""},
		{[]string{"--data", "x.db", "deu"}, `unknown command "deu" for "limekeep": "limekeep --help" lists them; did you mean "limekeep due"?`},
		{[]string{"frobnicate"}, `unknown command "frobnicate" for "limekeep": "limekeep --help" lists them`},
		{[]string{"measure", "fow"}, `unknown command "fow" for "limekeep measure": "limekeep measure --help" lists them; did you mean "limekeep measure flow"?`},
	} {
		got := ""
		if err := unknownCommand(newRoot(), c.args); err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%q: %q, want %q", c.args, got, c.want)
		}
	}
}
