package main

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/ical"
)

//go:embed demoplace.yaml
var demoPlace []byte

func newDemo(a *app) *cobra.Command {
	var once bool
	var out string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "An office kitchen with a year of records, in scratch records of its own",
		Long: `Sets up an invented office kitchen of eight in scratch records of its own: a used machine with two
boilers on the mains behind a softener, its early past unknown, and a year of records. It works
everything out from them, prints one screen of it, writes the calendar and serves the pages until
stopped. Your own records are not touched.`,
		Example: "  limekeep demo\n  limekeep demo --once --out care.ics",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			ctx := cmd.Context()
			folder, err := os.MkdirTemp("", "limekeep-demo-")
			if err != nil {
				return fmt.Errorf("there is no scratch folder: %w", err)
			}
			defer os.RemoveAll(folder)
			h, err := a.openFile(ctx, filepath.Join(folder, "records.db"), "demo")
			if err != nil {
				return err
			}
			defer h.close()
			h.days.Busy = h.own.Busy // an invented kitchen knows nothing of your engagements
			m, err := a.moment()
			if err != nil {
				return err
			}
			m.Place = ""
			if m, err = fillDemo(ctx, h, m); err != nil {
				return err
			}
			if err := showDemo(ctx, cmd.OutOrStdout(), h, m, out); err != nil {
				return err
			}
			if once {
				return nil
			}
			h.from("page")
			listener, err := listen(ctx, preferredAddress, false)
			if err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout())
			log, err := newLog(cmd.ErrOrStderr(), "warn", "text")
			if err != nil {
				return err
			}
			s, err := a.servingOn(ctx, h, m, listener, log)
			if err != nil {
				return errors.Join(err, listener.Close())
			}
			s.out = cmd.OutOrStdout()
			a.settings.Set("show-address", true) // of invented records; no other command reaches them
			return s.run(ctx)
		},
	}
	cmd.Flags().BoolVar(&once, "once", false, "stop after writing the calendar")
	cmd.Flags().StringVar(&out, "out", "limekeep-demo.ics", "calendar file to write")
	return cmd
}

// demoTasks are the tasks that a demo shows with a reason: the near ones of each kind.
var demoTasks = []string{"descale", "backflush-detergent", "group-gasket", "cartridge", "burr-replacement", "water-test"}

// brackets are where sentences have their ranges and sources.
var brackets = regexp.MustCompile(` \([^)]*\)`)

// shortReason picks the sentence with the numbers that a date rests on first, and leaves
// ranges and sources out of it; what was learnt from findings stands behind it.
func shortReason(why []string) string {
	first, learnt := why[0], ""
	for _, says := range why {
		if strings.HasPrefix(says, "By the water tests") {
			first = says
		}
		if strings.HasPrefix(says, "What was found (") {
			learnt = " " + brackets.ReplaceAllString(says, "")
		}
	}
	var kept []string
	for i, clause := range strings.Split(strings.TrimSuffix(brackets.ReplaceAllString(first, ""), "."), "; ") {
		if i == 0 || strings.HasPrefix(clause, "the limit is") || strings.HasPrefix(clause, "what is taken") || strings.HasSuffix(clause, "to come") {
			kept = append(kept, clause)
		}
	}
	return strings.Join(kept, "; ") + "." + learnt
}

// showDemo prints one screen of what is due and why, and writes the calendar.
func showDemo(ctx context.Context, w io.Writer, h *house, m schedule.Moment, out string) error {
	d, err := h.days.Open(ctx, m)
	if err != nil {
		return err
	}
	f, err := d.Forecast(ctx)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "%s, invented: a used machine with two boilers for eight people, as of %s.\n\n", d.Place.Name, m.Today.Long())
	printNextSitting(w, f.Brief().Next, "Its page shows its timetable, and how to make safe first.")
	fmt.Fprintln(w, "\nCOMING, each with a reason; its page has all of them:")
	shown := map[string]bool{}
	for _, due := range f.Due() {
		k := slices.IndexFunc(demoTasks, func(task string) bool { return strings.Contains("/"+due.Task+"/", "/"+task+"/") })
		if k < 0 || due.Likely == nil || len(due.Why) == 0 || shown[demoTasks[k]] && demoTasks[k] != "descale" {
			continue
		}
		shown[demoTasks[k]] = true
		printWrapped(w, likelyText(due, m.Today)+"  ", due.Title+". "+shortReason(due.Why))
	}
	agenda := agenda.Of(f, h.publisher.Routine)
	if err := writeCalendar(out, agenda); err != nil {
		return err
	}
	fmt.Fprintf(w, "\ncalendar written: %s, %d entries\n", out, ical.Count(agenda))
	return nil
}
