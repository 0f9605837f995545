// Command limekeep is the upkeep companion for an espresso machine, its grinder
// and its water.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"limekeep/cmd/limekeep/spell"
	"limekeep/schedule"
)

func main() {
	os.Exit(run())
}

// run is main with its exit status, so that the command tests can call it.
func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := newRoot().ExecuteContext(ctx); err != nil {
		fmt.Fprintln(os.Stderr, "limekeep: "+oneLine(err))
		return 1
	}
	return 0
}

// oneLine keeps an error to the one line that is promised. What is missing is told
// with the command that provides it.
func oneLine(err error) string {
	text := strings.ReplaceAll(err.Error(), "\n", "; ")
	var missing *schedule.NeedError
	if errors.As(err, &missing) {
		text += ": " + spell.Hint(missing)
	}
	return strings.Join(strings.Fields(text), " ")
}
