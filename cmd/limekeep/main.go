// Command limekeep is the upkeep companion for an espresso machine, its grinder
// and its water.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"regexp"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/foreign"
	"limekeep/cmd/limekeep/spell"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

const (
	// stopPatience is how long a command may take to stop by itself (assumption).
	stopPatience = 4500 * time.Millisecond
	// exitStopped is the exit status of one that did not: 128 and the number of SIGINT.
	exitStopped = 130
	// exitUnread is that of one whose answer nobody read to its end: 128 and the number of SIGPIPE.
	exitUnread = 141
)

func main() {
	os.Exit(run())
}

// run is main with its exit status, so that the command tests can call it.
func run() int {
	signal.Ignore(syscall.SIGPIPE) // who reads no further, as head does, must not keep the records from being closed
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	ended := make(chan struct{})
	defer close(ended)
	go func() {
		<-ctx.Done()
		stop() // a second signal ends it at once
		select {
		case <-ended:
		case <-time.After(stopPatience):
			os.Exit(exitStopped) // what is written down is whole at any moment
		}
	}()
	if err := execute(ctx, os.Args[1:]); errors.Is(err, syscall.EPIPE) {
		return exitUnread
	} else if err != nil {
		for _, line := range errorLines(err) {
			fmt.Fprintln(os.Stderr, "limekeep: "+line)
		}
		return 1
	}
	return 0
}

// execute runs the command that the arguments name.
func execute(ctx context.Context, args []string) error {
	root := newRoot()
	if err := unknownCommand(root, args); err != nil {
		return err
	}
	root.SetArgs(args)
	nameUse(root)
	return root.ExecuteContext(ctx)
}

// nameUse has every command say how it is given where too little or too much stands
// behind it.
func nameUse(cmd *cobra.Command) {
	if check := cmd.Args; check != nil {
		cmd.Args = func(cmd *cobra.Command, args []string) error {
			err := check(cmd, args)
			switch {
			case err == nil:
				return nil
			case !strings.Contains(err.Error(), "arg(s)"):
				if len(args) > 0 && !cmd.HasSubCommands() {
					return fmt.Errorf("unknown command %q for %q, which takes nothing behind it but flags", args[0], cmd.CommandPath())
				}
				return err
			}
			what := "too much stands behind the command: --help says what goes there"
			if needed := strings.Fields(optional.ReplaceAllString(cmd.Use, "")); len(args) < len(needed)-1 {
				what = "something is missing behind the command: --help says what"
			}
			return fmt.Errorf("%s; it is given as \"%s\"", what, strings.TrimSuffix(cmd.UseLine(), " [flags]"))
		}
	}
	for _, sub := range cmd.Commands() {
		nameUse(sub)
	}
}

// optional is what may be left out behind a command.
var optional = regexp.MustCompile(`\[[^\]]*\]`)

// errorLines returns the lines of an error: one, but for mistakes of which each has its
// own.
func errorLines(err error) []string {
	var all record.MistakesError
	if !errors.As(err, &all) {
		return []string{oneLine(err)}
	}
	where, _, _ := strings.Cut(err.Error(), all.Error())
	lines := make([]string, len(all))
	for i, wrong := range all {
		lines[i] = where + oneLine(wrong)
	}
	return lines
}

// oneLine keeps an error to the one line that is promised. What is missing is told
// with the command that provides it.
func oneLine(err error) string {
	text := strings.ReplaceAll(foreign.InOurWords(err), "\n", "; ")
	var missing *schedule.NeedError
	if errors.As(err, &missing) {
		text += ": " + spell.Hint(missing)
	}
	return strings.Join(strings.Fields(text), " ")
}
