package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/ical"
)

func newCalendar(a *app) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "calendar",
		Short: "What is coming, as a calendar file",
		Long:  "Writes what is coming as one iCalendar file, to be imported into a calendar program. It writes\nnothing into the records. For a calendar that keeps itself up to date, subscribe to \"limekeep serve\";\n\"limekeep calendar address\" prints where.",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.foresee(cmd, func(f *day.Forecast) error {
				agenda := agenda.Of(f, a.settings.GetBool("routine"))
				if out == "" {
					return ical.Encode(cmd.OutOrStdout(), agenda)
				}
				if err := writeCalendar(out, agenda); err != nil {
					return err
				}
				fmt.Fprintf(cmd.OutOrStdout(), "%s: %d entries\n", out, len(agenda.Entries))
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&out, "out", "", "write to this file (default: standard output)")
	cmd.AddCommand(newCalendarAddress(a))
	return cmd
}

// writeCalendar writes a whole file or none: a calendar program that watches
// the file never sees half of it.
func writeCalendar(path string, agenda agenda.Agenda) error {
	var text bytes.Buffer
	if err := ical.Encode(&text, agenda); err != nil {
		return err
	}
	temporary, err := os.CreateTemp(filepath.Dir(path), ".limekeep-*.ics")
	if err != nil {
		return fmt.Errorf("the calendar file cannot be written: %w", err)
	}
	defer os.Remove(temporary.Name())
	if _, err := temporary.Write(text.Bytes()); err != nil {
		_ = temporary.Close()
		return fmt.Errorf("the calendar file cannot be written: %w", err)
	}
	if err := temporary.Chmod(0o644); err != nil {
		_ = temporary.Close()
		return fmt.Errorf("the calendar file cannot be written: %w", err)
	}
	if err := temporary.Close(); err != nil {
		return fmt.Errorf("the calendar file cannot be written: %w", err)
	}
	if err := os.Rename(temporary.Name(), path); err != nil {
		return fmt.Errorf("the calendar file cannot be written: %w", err)
	}
	return nil
}
