package main

import (
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/viper"
)

// Every command shows an example in its help, and each example is of a command and of
// flags that there are.
func TestEveryCommandHasAnExample(t *testing.T) {
	root := rootOf(&app{settings: viper.New()})
	var look func(cmd *cobra.Command)
	look = func(cmd *cobra.Command) {
		if !strings.Contains(cmd.Example, "limekeep") {
			t.Errorf("%s has no example", cmd.CommandPath())
		}
		for _, line := range strings.Split(cmd.Example, "\n") {
			_, words, ok := strings.Cut(line, "limekeep ")
			if !ok {
				continue
			}
			args := strings.Fields(words)
			found, rest, err := root.Find(args)
			if err != nil || found == root && len(args) > 0 && !strings.HasPrefix(args[0], "-") {
				t.Errorf("%s: no command stands behind %q", cmd.CommandPath(), line)
				continue
			}
			for _, word := range rest {
				flag, _, _ := strings.Cut(strings.TrimPrefix(word, "--"), "=")
				if strings.HasPrefix(word, "--") && found.Flags().Lookup(flag) == nil && found.InheritedFlags().Lookup(flag) == nil {
					t.Errorf("%s: %q has a flag that %s does not have: --%s", cmd.CommandPath(), line, found.CommandPath(), flag)
				}
			}
		}
		for _, sub := range cmd.Commands() {
			look(sub)
		}
	}
	look(root)
	for path := range examples {
		if found, _, err := root.Find(strings.Fields(path)); err != nil || strings.TrimPrefix(found.CommandPath(), "limekeep") != strings.TrimRight(" "+path, " ") {
			t.Errorf("the example of %q is of no command", path)
		}
	}
}
