package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newSetup(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "setup FILE",
		Short: "Apply a place file: the place, its equipment, its habits",
		Long:  "Applies a place file. Applying it twice changes nothing; equipment is known by its id, so that\nit can be renamed and keep its history. A file named - is read from standard input.",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			setup, err := a.openPlaceFile(args[0], cmd.InOrStdin())
			if err != nil {
				return err
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				changed, err := h.journal.SetUp(ctx, m.Today, setup)
				if err != nil {
					return fmt.Errorf("%s: %w", args[0], err)
				}
				if a.asJSON {
					return printJSON(cmd, changed)
				}
				out := cmd.OutOrStdout()
				if changed.Nothing() {
					fmt.Fprintf(out, "%s: nothing new\n", changed.Place)
				}
				for _, line := range []struct {
					what string
					ids  []string
				}{{"added", changed.Added}, {"changed", changed.Changed}, {"retired (no longer in the file; its history stays)", changed.Retired}} {
					if len(line.ids) > 0 {
						fmt.Fprintf(out, "%s: %s\n", line.what, strings.Join(line.ids, ", "))
					}
				}
				return nil
			})
		},
	})
}

// openPlaceFile reads a place file and checks it against the catalogue and the day as
// well, so that all that is wrong with it is told at once, before records are opened.
func (a *app) openPlaceFile(path string, stdin io.Reader) (schedule.Setup, error) {
	in := stdin
	if path != "-" {
		file, err := os.Open(path)
		if err != nil {
			return schedule.Setup{}, fmt.Errorf("the place file cannot be read: %w", err)
		}
		defer file.Close()
		in = file
	}
	catalogue, err := care.Embedded()
	if err != nil {
		return schedule.Setup{}, err
	}
	m, err := a.moment()
	if err != nil {
		return schedule.Setup{}, err
	}
	setup, err := placefile.Read(in, func(s schedule.Setup) error {
		if !m.Today.IsZero() {
			return journal.CheckSetUp(catalogue, m.Today, s)
		}
		now := time.Now()
		if zone, err := s.Place.Location(); err == nil {
			now = now.In(zone)
		}
		return journal.CheckSetUp(catalogue, record.DateOf(now), s)
	})
	if err != nil {
		return setup, fmt.Errorf("%s: %w", path, err)
	}
	return setup, nil
}
