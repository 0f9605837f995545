package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/record"
)

// unknownCommand returns an error where the arguments name a command that is none, also
// below one that only holds others, which would else show its help and report success.
func unknownCommand(root *cobra.Command, args []string) error {
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd(args...)
	cmd, rest, err := root.Find(args)
	if cmd == nil || cmd.Runnable() || !cmd.HasSubCommands() {
		return nil
	}
	if err == nil && (len(rest) == 0 || strings.HasPrefix(rest[0], "-") || rest[0] == "help") {
		return nil
	}
	named := ""
	if err == nil {
		named = rest[0]
	} else if _, quoted, ok := strings.Cut(err.Error(), "unknown command \""); ok {
		named, _, _ = strings.Cut(quoted, "\"") // flags may stand before it
	}
	if named == "" || strings.HasPrefix(named, "__") {
		return nil // the shell's completion asks so
	}
	var known []string
	for _, sub := range cmd.Commands() {
		if sub.IsAvailableCommand() {
			known = append(known, sub.Name())
		}
	}
	meant := ""
	if near := record.Nearest(named, known); near != "" {
		meant = fmt.Sprintf("; did you mean %q?", cmd.CommandPath()+" "+near)
	}
	return fmt.Errorf("unknown command %q for %q: \"%s --help\" lists them%s", named, cmd.CommandPath(), cmd.CommandPath(), meant)
}
