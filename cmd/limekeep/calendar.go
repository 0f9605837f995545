package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/ical"
)

func newCalendar(a *app) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "calendar",
		Short: "What is coming, as a calendar file",
		Long:  "Prints what is coming as one iCalendar file, and writes nothing into the records. With --out it goes\nout as a file and is kept as the plan that went out, as \"limekeep serve\" does: run daily, entries keep\ntheir identity, SEQUENCE counts their changes, and the next plan holds to it. For a calendar that keeps\nitself up to date, subscribe to \"limekeep serve\"; \"limekeep calendar address\" prints where.",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				asked, err := h.placesAsked(ctx, m.Place)
				if err != nil {
					return err
				}
				if asked != nil {
					return a.calendarOf(cmd, h, m, asked, out)
				}
				if out == "" {
					issue, err := h.publisher.Preview(ctx, m)
					if err != nil {
						return err
					}
					return ical.Encode(cmd.OutOrStdout(), issue.Agenda)
				}
				agenda, err := publishFile(ctx, h.publisher, m, out, strings.TrimRight(a.settings.GetString("base"), "/"))
				if err != nil {
					return err
				}
				fmt.Fprintf(cmd.OutOrStdout(), "%s: %d entries\n", out, ical.Count(agenda))
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&out, "out", "", "write to this file (default: standard output)")
	baseFlag(cmd)
	cmd.AddCommand(newCalendarAddress(a))
	return cmd
}

// calendarOf writes the calendar of several places.
func (a *app) calendarOf(cmd *cobra.Command, h *house, m schedule.Moment, places []string, out string) error {
	if out != "" {
		if err := mayWrite(out); err != nil {
			return err
		}
	}
	base := strings.TrimRight(a.settings.GetString("base"), "/")
	var all []agenda.Agenda
	entries := 0
	for _, place := range places {
		m.Place = place
		issued := h.publisher.Preview
		if out != "" {
			issued = h.publisher.Publish
		}
		issue, err := issued(cmd.Context(), m)
		if err != nil {
			return fmt.Errorf("%s: %w", place, err)
		}
		if issue.Agenda.Base = base; base != "" {
			issue.Agenda.Base += web.Under(place)
		}
		all = append(all, issue.Agenda)
		entries += ical.Count(issue.Agenda)
	}
	const name = "Machine care, several places"
	if out == "" {
		return ical.EncodeAll(cmd.OutOrStdout(), name, all)
	}
	if err := writeWhole(out, func(w io.Writer) error { return ical.EncodeAll(w, name, all) }); err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s: %d entries of %d places\n", out, entries, len(all))
	return nil
}

// publishFile publishes the agenda of a moment and writes it to a file, with links
// to pages under a base where there is one. Nothing is published that cannot be
// written: the folder is tried first.
func publishFile(ctx context.Context, p *agenda.Publisher, m schedule.Moment, path, base string) (agenda.Agenda, error) {
	if err := mayWrite(path); err != nil {
		return agenda.Agenda{}, err
	}
	issue, err := p.Publish(ctx, m)
	a := issue.Agenda
	if err != nil {
		return a, err
	}
	a.Base = base
	return a, writeCalendar(path, a)
}

// mayWrite tries whether a file can be made beside one to be written.
func mayWrite(path string) error {
	trial, err := os.CreateTemp(filepath.Dir(path), ".limekeep-*.ics")
	if err != nil {
		return unwritten(path, err)
	}
	_ = trial.Close()
	return os.Remove(trial.Name())
}

// unwritten says that a calendar file cannot be written, by its name and not by that of the
// file beside it that was tried.
func unwritten(path string, err error) error {
	var of *fs.PathError
	if errors.As(err, &of) {
		err = &fs.PathError{Op: of.Op, Path: path, Err: of.Err}
	}
	return fmt.Errorf("the calendar file cannot be written: %w", err)
}

// writeCalendar writes a whole file or none: a calendar program that watches
// the file never sees half of it.
func writeCalendar(path string, agenda agenda.Agenda) error {
	return writeWhole(path, func(w io.Writer) error { return ical.Encode(w, agenda) })
}

// writeWhole writes what is written to it into a file once it is whole.
func writeWhole(path string, write func(io.Writer) error) error {
	var text bytes.Buffer
	if err := write(&text); err != nil {
		return err
	}
	temporary, err := os.CreateTemp(filepath.Dir(path), ".limekeep-*.ics")
	if err != nil {
		return unwritten(path, err)
	}
	defer os.Remove(temporary.Name())
	if _, err := temporary.Write(text.Bytes()); err != nil {
		_ = temporary.Close()
		return unwritten(path, err)
	}
	if err := temporary.Chmod(0o644); err != nil {
		_ = temporary.Close()
		return unwritten(path, err)
	}
	if err := temporary.Close(); err != nil {
		return unwritten(path, err)
	}
	if err := os.Rename(temporary.Name(), path); err != nil {
		return unwritten(path, err)
	}
	return nil
}
