package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/cmd/limekeep/web/api"
	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newSetup(a *app) *cobra.Command {
	keep := ""
	cmd := a.answers(&cobra.Command{
		Use:   "setup [FILE]",
		Short: "Set the place up, by questions or from a place file",
		Long: `Without a file it asks about the machine, the water and the habit; every question can be left
with "I don't know", which says what that costs. Answers can also come from standard input, a line
each. With a file it applies that: twice changes nothing; equipment is known by its id, so that it
can be renamed and keep its history. A file named - is read from standard input.`,
		Example: `  limekeep setup
  limekeep setup --keep place.yaml
  limekeep setup place.yaml`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return a.setUpByQuestions(cmd, keep)
			}
			setup, err := a.openPlaceFile(args[0], cmd.InOrStdin())
			if err != nil {
				return err
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				started, err := h.setUp().Apply(ctx, m.Today, setup)
				if err != nil {
					return fmt.Errorf("%s: %w", args[0], err)
				}
				if a.asJSON {
					return printJSON(cmd, started)
				}
				printStarted(a.tellOwner(cmd.OutOrStdout(), setup.Place), started)
				return nil
			})
		},
	})
	cmd.Flags().StringVar(&keep, "keep", "", "after the questions write the same as a place file of this name")
	cmd.AddCommand(newSetupShow(a))
	return cmd
}

// setUp sets places up and says what follows.
func (h *house) setUp() *api.SetUp { return &api.SetUp{Days: h.days, Journal: h.journal} }

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
